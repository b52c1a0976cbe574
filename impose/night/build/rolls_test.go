package build

import (
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// built makes a night of the orders in a folder, and gives the summary of each
// run.
func built(t *testing.T, csv string, rule func(*night.Rules)) (*plan.Plan, []summary.Summary) {
	t.Helper()
	dir, all, r := nighttest.Desk(t, csv)
	rule(r)
	f := nighttest.Folder(t, filepath.Join(dir, "night"))
	p, err := plan.Make(t.Context(), all, r, f)
	if err != nil {
		t.Fatal(err)
	}
	if err := Runs(t.Context(), f, p, r, nil); err != nil {
		t.Fatal(err)
	}
	summaries := make([]summary.Summary, len(p.Runs))
	for i, run := range p.Runs {
		file, err := f.Open(summaryOf(&run))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.NewDecoder(file).Decode(&summaries[i]); err != nil {
			t.Error(err)
		}
		file.Close()
	}
	return p, summaries
}

// TestEachOrderKeepsItsRolls: orders that ask for different rolls share a run;
// plan and summary count each in its own, and one that doesn't say has the
// house's.
func TestEachOrderKeepsItsRolls(t *testing.T) {
	p, summaries := built(t, "order,quantity,artwork,labels-per-roll\nA,900,juice.pdf,300\nB,900,perry.pdf,100\nC,900,cider.pdf,\n",
		func(r *night.Rules) { r.House.Roll.Labels = 200 })
	seen := 0
	for i, run := range p.Runs {
		for k, s := range run.Orders {
			want := map[string]int64{"A": 300, "B": 100, "C": 200}[s.Order]
			r := summaries[i].Rolls[k]
			if s.LabelsPerRoll != want || r.LabelsPerRoll != want || r.Full != s.Rolls || int64(len(r.Parts)) != s.PartRolls || s.Rolls == 0 {
				t.Errorf("%s of %s: %+v in the plan, %+v in the summary, want rolls of %d", s.Order, run.Name, s, r, want)
			}
			seen++
		}
	}
	if seen < 3 || len(p.Runs[0].Orders) < 2 {
		t.Errorf("%d shares, no run is shared: %+v", seen, p.Runs)
	}
}

// TestDrugLabelRunIsWarnedOf: the run of a drug label says so wherever its
// warnings are read, the sheet among them; no other run does.
func TestDrugLabelRunIsWarnedOf(t *testing.T) {
	p, summaries := built(t, "order,quantity,artwork,flags\nA,900,juice.pdf,drug-label\nB,900,perry.pdf,\n", func(*night.Rules) {})
	for i, run := range p.Runs {
		for _, list := range [][]say.Note{run.Warnings, summaries[i].Warnings} {
			found := slices.ContainsFunc(list, func(w say.Note) bool {
				return w.Code == "drug-label" && strings.Contains(w.Text, "DRUG LABEL") && strings.Contains(w.Text, "reconcile")
			})
			if found != (run.Orders[0].Order == "A") {
				t.Errorf("%s of order %s: %+v", run.Name, run.Orders[0].Order, list)
			}
		}
	}
}

// TestWholeRollsLeaveNoPartRolls: plan and summary agree that a run as long as
// whole rolls leaves none.
func TestWholeRollsLeaveNoPartRolls(t *testing.T) {
	p, summaries := built(t, "order,quantity,artwork,labels-per-roll\nA,900,juice.pdf,100\n", func(r *night.Rules) { r.WholeRolls = true })
	for i, run := range p.Runs {
		for k, s := range run.Orders {
			if r := summaries[i].Rolls[k]; s.Rolls == 0 || r.Full != s.Rolls || s.PartRolls != 0 || len(r.Parts) != 0 || r.Lanes[0].Rest == 0 {
				t.Errorf("%s: %+v in the plan, %+v in the summary", run.Name, s, r)
			}
		}
	}
}
