package build

import (
	"bytes"
	"strings"
	"testing"

	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
	"quoin/impose/night/report"
	"quoin/impose/say"
)

// TestPartsOfAnOrderKnowEachOther: plan, report and sheet say which part of a
// split order a run holds, where the rest is, and how much was ordered.
func TestPartsOfAnOrderKnowEachOther(t *testing.T) {
	_, all, r := nighttest.Desk(t, "order,quantity,artwork,due,priority,flags\nA,24000,juice.pdf,2026-03-04,7,\nB,9000,cider.pdf,,,\nC,6500,perry.pdf,,,\n"+
		"D,3000,perry.pdf,,,\nE,1100,juice.pdf,,,alone\n")
	p := made(t, all, r)
	split, alone := 0, 0
	for i := range p.Runs {
		run := &p.Runs[i]
		im, err := impose.Open(t.Context(), p.Job(run))
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		remarks := remarks(run)
		if len(remarks) != len(run.Orders) {
			t.Fatalf("%s: %d remarks on %d orders", run.Name, len(remarks), len(run.Orders))
		}
		for k, s := range run.Orders {
			said := remarks[k]
			if s.Order == "A" && (!strings.Contains(said, "due 2026-03-04") || !strings.Contains(said, "priority 7")) {
				t.Errorf("the sheet says of A: %q", said)
			}
			if s.Order == "E" {
				alone++
				if !strings.Contains(said, "alone, as the customer wishes") {
					t.Errorf("the sheet says of E: %q", said)
				}
			}
			if !s.Split {
				continue
			}
			split++
			if s.Parts != len(s.OtherRuns)+1 || s.Part < 1 || s.Part > s.Parts || !strings.Contains(said, "the rest in "+s.OtherRuns[0]) ||
				!strings.Contains(said, say.Number(s.OrderQuantity)+" labels ordered in all") {
				t.Errorf("%s of %s: %+v, the sheet says %q", s.Order, run.Name, s, said)
			}
			var page bytes.Buffer
			err := report.HTML(&page, p)
			shown := strings.NewReplacer(`<span class="d">`, "", "</span>", "").Replace(page.String()) // as a reader has it
			if err != nil || !strings.Contains(shown, strings.Join(s.Remarks(), "; ")) || !strings.Contains(text(t, p), s.Rest()) {
				t.Errorf("the reports don't say %q (%v)", s.Rest(), err)
			}
		}
	}
	if split == 0 || alone == 0 {
		t.Errorf("%d parts, %d alone", split, alone)
	}
	s := plan.Share{Part: 2, Parts: 3, OtherRuns: []string{"run-001", "run-004"}}
	if got := s.Rest(); got != "part 2 of 3, the rest in run-001 and run-004" {
		t.Error(got)
	}
}

func made(t testing.TB, all []job.Order, r *night.Rules) *plan.Plan {
	t.Helper()
	p, err := plan.Make(t.Context(), all, r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func text(t *testing.T, p *plan.Plan) string {
	t.Helper()
	var b strings.Builder
	if err := report.Text(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
