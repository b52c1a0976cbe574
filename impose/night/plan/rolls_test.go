package plan

import (
	"slices"
	"strings"
	"testing"

	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// Worked by hand on 6 lanes of 12 rows. A roll of 2,500 labels takes
// ceil(2500/12) = 209 frames of a lane, one of 1,000 takes 84. A: 10,000 labels
// are 4 rolls, B: 5,000 are 2, so both fill 6 lanes of one run of 209 frames. C:
// 2,000 labels are 2 rolls of 84 frames in 2 lanes, and share no run with rolls
// that take another length. Without the rule A and B share 15,000/72 = 209
// frames too, and C fills what it can.
func TestWholeRollsLeaveNoRest(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,labels-per-roll\nA,10000,2500\nB,5000,2500\nC,2000,1000\n")
	r := nighttest.Rules()
	r.WholeRolls = true
	p := made(t, all, r)
	if len(p.Runs) != 2 || !p.Proved {
		t.Fatalf("%d runs, proved %v", len(p.Runs), p.Proved)
	}
	frames := map[string]int64{"A": 209, "B": 209, "C": 84}
	rolls := map[string]int64{"A": 4, "B": 2, "C": 2}
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			if run.Frames != frames[s.Order] || s.Lanes != rolls[s.Order] || s.Rolls != rolls[s.Order] || s.PartRolls != 0 {
				t.Errorf("%d frames: %+v", run.Frames, s)
			}
		}
	}
	if noted(p, "", night.PartRolls) {
		t.Error("whole rolls are said to be parts")
	}
	// Alone: ceil(4/6), ceil(2/6) and ceil(2/6) rolls from all lanes.
	if want := 3*60 + (209+209+84)*0.9381; p.Alone.WebM < want-0.001 || p.Alone.WebM > want+0.001 {
		t.Errorf("alone %g m, want %g", p.Alone.WebM, want)
	}
	if !slices.ContainsFunc(variants(p.rules, false, true, false), func(v variant) bool { return strings.HasPrefix(v.rule, "rolls may end") }) {
		t.Error("nobody says what the rule costs")
	}
}

// 336 labels in each of 6 lanes meet 2,000, and none is a roll of 1,000.
func TestRestsThatMayNotBeSplicedAreNoted(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,labels-per-roll\nC,2000,1000\n")
	if p := made(t, all, nighttest.Rules()); !noted(p, "", night.PartRolls) {
		t.Errorf("notes %v", p.Notes)
	}
	r := nighttest.Rules()
	splices := true
	r.House.Roll.Splices = &splices
	if p := made(t, all, r); noted(p, "", night.PartRolls) {
		t.Error("rests that may be spliced are noted")
	}
}

// A customer who takes 2 % more gets no third whole roll for 2,500 labels.
func TestWholeRollsBowToTheOversLimit(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,labels-per-roll,overs\nA,2500,1000,2%\nB,3000,1000,2%\n")
	r := nighttest.Rules()
	r.WholeRolls = true
	p := made(t, all, r)
	if !noted(p, "A", night.PartRolls) || noted(p, "B", night.PartRolls) {
		t.Errorf("notes %v", p.Notes)
	}
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			if s.Order == "B" && run.Frames%84 != 0 {
				t.Errorf("B in a run of %d frames", run.Frames)
			}
		}
	}
	if len(p.Unplanned) > 0 || len(p.Runs) == 0 {
		t.Errorf("left out: %v", p.Unplanned)
	}
}

func noted(p *Plan, order, code string) bool {
	return slices.ContainsFunc(p.Notes, func(n night.Note) bool { return n.Order == order && n.Code == code })
}

// TestWholeLanesOfAMixedRunHaveRolls: an order that fills its lanes is counted
// as if lanes were not mixed.
func TestWholeLanesOfAMixedRunHaveRolls(t *testing.T) {
	r := nighttest.Rules()
	r.Mixed = true
	p := made(t, nighttest.Orders(t, "order,quantity,labels-per-roll,flags\nA,100000,2500,alone\n"), r)
	if s := p.Runs[0].Orders[0]; s.Lanes != 0 || s.Rolls != 36 || s.PartRolls != 6 {
		t.Errorf("%+v", s)
	}
}

// TestTrimmedLabelsAreNoOvers: a roll of 2,500 takes 209 frames of 12 labels, of
// which the last one's 8 come off with the end of the roll. A gets its 10,000
// labels as 4 rolls in 4 lanes, and none over; of the 5,000 of B it gets 2. Long
// lanes of many such rolls make no other roll of their ends.
func TestTrimmedLabelsAreNoOvers(t *testing.T) {
	r := nighttest.Rules()
	r.WholeRolls = true
	p := made(t, nighttest.Orders(t, "order,quantity,labels-per-roll\nA,10000,2500\nB,5000,2500\n"), r)
	if p.Total.Overs != 0 || p.Total.Trimmed != 6*8 || p.Total.Labels != 15_048 {
		t.Errorf("%+v", p.Total)
	}
	p = made(t, nighttest.Orders(t, "order,quantity,labels-per-roll\nA,13000,13\n"), r)
	if s := p.Runs[0].Orders[0]; s.Rolls*13 != s.Ordered+s.Overs || s.Labels != s.Ordered+s.Overs+s.Trimmed || s.Rolls != s.Lanes*p.Runs[0].Frames/2 {
		t.Errorf("%+v in %d frames", s, p.Runs[0].Frames)
	}
}
