package plan

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"quoin/geometry/trials"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/say"
)

// drawPins pins some of the orders o0, o1 and so on, without contradictions.
func drawPins(rt *rapid.T, n int) (p night.Pins) {
	ids := rapid.Permutation(slices.Collect(func(yield func(string) bool) {
		for i := range n {
			if !yield(fmt.Sprint("o", i)) {
				return
			}
		}
	})).Draw(rt, "pinned")
	if rapid.Bool().Draw(rt, "together") {
		p.Together = [][]string{ids[:2]}
	}
	if rapid.Bool().Draw(rt, "apart") {
		p.Apart = [][]string{ids[1:3]}
	}
	if rapid.IntRange(0, 4).Draw(rt, "out") == 0 {
		p.TakenOut = ids[3:4]
	}
	return p
}

// checkPins proves that a plan keeps its pins: of orders that are to be together,
// those that are printed stand in one run, unless one of them is told of.
func checkPins(t interface{ Errorf(string, ...any) }, p *Plan) {
	of := func(id string) (runs []int) {
		for _, run := range p.Runs {
			if slices.ContainsFunc(run.Orders, func(s Share) bool { return s.Order == id }) {
				runs = append(runs, run.Run)
			}
		}
		return runs
	}
	for _, set := range p.rules.Pins.Together {
		a, b := of(set[0]), of(set[1])
		switch {
		case len(a) > 0 && len(b) > 0 && (len(a) != 1 || !slices.Equal(a, b)):
			t.Errorf("%s is in the runs %v, %s in %v", set[0], a, set[1], b)
		case (len(a) > 0) != (len(b) > 0) && nighttest.CodeOf(p.Notes, set[0])+nighttest.CodeOf(p.Notes, set[1]) == "":
			t.Errorf("only one of %v is printed, and nobody is told", set)
		}
	}
	for _, set := range p.rules.Pins.Apart {
		for _, run := range of(set[0]) {
			if slices.Contains(of(set[1]), run) {
				t.Errorf("%v are both in run %d", set, run)
			}
		}
	}
}

const five = "order,quantity,material,inks,label,flags\n" +
	"A,10000,,\"C,M,Y,K\",50x75mm,\nB,5000,,\"C,M,Y,K\",50x75mm,\nC,2500,,\"C,M,Y,K,Gold\",50x75mm,\n" +
	"D,900,film,\"C,M,Y,K\",50x75mm,\nE,900,,\"C,M,Y,K\",40x60mm,\nF,700,,\"C,M,Y,K\",50x75mm,alone\n"

// TestPinsAreKept: A and B share a run of themselves, and C has inks of its own
// that must come along; apart, A and B never meet. By web, minutes and money.
func TestPinsAreKept(t *testing.T) {
	for _, by := range []night.Measure{night.Web, night.Minutes, night.Money} {
		for _, pins := range []night.Pins{
			{Together: [][]string{{"A", "C"}}},
			{Apart: [][]string{{"A", "B"}}},
			{Apart: [][]string{{"A", "B", "C"}}},
			{Together: [][]string{{"A", "B"}, {"B", "C"}}},
			{Together: [][]string{{"B", "C"}}, Apart: [][]string{{"A", "C"}}},
			{Together: [][]string{{"A", "B"}}, TakenOut: []string{"C"}},
		} {
			r := nighttest.Rules()
			r.By, r.Time = by, 100*time.Millisecond
			if by == night.Money {
				r.House.Press, _ = nighttest.Presses(t)
			}
			r.Pins = pins
			p := made(t, nighttest.Orders(t, five), r)
			checkPins(t, p)
			if p.Total.Orders != 6-len(pins.TakenOut) || len(p.Unplanned) > 0 {
				t.Errorf("%s, %v: %d orders, left out %v", by, pins, p.Total.Orders, p.Unplanned)
			}
			if p.Bound.WebM > p.Total.WebM+1e-6 || p.GapPercent < 0 || p.Pins == nil {
				t.Errorf("%s, %v: bound %g over %g m", by, pins, p.Bound.WebM, p.Total.WebM)
			}
			again, err := json.Marshal(made(t, nighttest.Orders(t, five), r))
			if first, _ := json.Marshal(p); err != nil || string(first) != string(again) {
				t.Errorf("%s, %v: the second plan differs", by, pins)
			}
		}
	}
}

func TestPinsThatCanNotBeMetAreRefused(t *testing.T) {
	for _, c := range []struct {
		pins night.Pins
		most int
		kind say.Kind
		want string
	}{
		{night.Pins{Together: [][]string{{"A", "D"}}}, 0, say.NotFit, "A and D can't be printed in one run: A is printed on"},
		{night.Pins{Together: [][]string{{"A", "E"}}}, 0, say.NotFit, "their labels share no die, web and turn (A is 50 x 75 mm, E is 40 x 60 mm)"},
		{night.Pins{Together: [][]string{{"A", "F"}}}, 0, say.NotFit, "F runs alone, as the customer wishes"},
		{night.Pins{Together: [][]string{{"A", "B", "C"}}}, 2, say.NotFit, "a run may hold 2 orders"},
		{night.Pins{Together: [][]string{{"A", "Z"}}}, 0, say.Usage, "Z is to be printed with or without"},
		{night.Pins{Together: [][]string{{"A", "B"}, {"B", "C"}}, Apart: [][]string{{"C", "A"}}}, 0, say.Usage, "C and A are to be printed together, and apart"},
	} {
		r := nighttest.Rules()
		r.Pins, r.MostIn = c.pins, c.most
		_, err := Make(t.Context(), nighttest.Orders(t, five), r, nil)
		if err == nil || !strings.Contains(err.Error(), c.want) || say.KindOf(err) != c.kind || say.Hint(err) == "" {
			t.Errorf("%v: %v (%s), want %q", c.pins, err, say.Hint(err), c.want)
		}
	}
	// Six lanes, and seven orders; and overs that no common length meets.
	csv, ids := "order,quantity,overs\n", []string{}
	for i := range 7 {
		ids = append(ids, fmt.Sprint(i))
		csv += fmt.Sprintf("%d,%d,\n", i, 1000)
	}
	csv += "large,100000,5%\nsmall,100,5%\n"
	for want, set := range map[string][]string{"a run has 6 lanes for them": ids, "no length of a run makes enough of each": {"large", "small"}} {
		r := nighttest.Rules()
		r.Pins.Together = [][]string{set}
		if _, err := Make(t.Context(), nighttest.Orders(t, csv), r, nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: %v, want %q", set, err, want)
		}
	}
}

// TestPinnedOrderThatIsNotPrinted: what was to be together is printed without the
// one that waits, and that is told; two that may be printed early wait together.
func TestPinnedOrderThatIsNotPrinted(t *testing.T) {
	r := nighttest.Rules()
	r.Pins.Together, r.Without = [][]string{{"A", "B"}}, []string{"B"}
	p := made(t, nighttest.Orders(t, five), r)
	if nighttest.CodeOf(p.Notes, "A") != night.PinOpen {
		t.Errorf("notes %v", p.Notes)
	}
	r = nighttest.Rules()
	r.Day, r.Early = time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), 5
	r.Pins.Together = [][]string{{"now", "soon"}}
	p = made(t, nighttest.Orders(t, "order,quantity,due\nnow,60000,2026-03-01\nsoon,60000,2026-03-03\n"), r)
	checkPins(t, p)
	if p.Total.Orders != 2 {
		t.Errorf("%d orders are printed", p.Total.Orders)
	}
}

// TestPinsOnDies: by money, with dies, several presses and webs, orders that lie
// on different ones by themselves come on one that takes both.
func TestPinsOnDies(t *testing.T) {
	r := nighttest.MoneyRules(t)
	r.House.Dies = nighttest.Dies(t)
	r.Time = 200 * time.Millisecond
	all := nighttest.MoneyOrders(t, 14)
	free := made(t, all, r)
	pinned, most := 0, trials.Number(t, "", 3, 6)
	for i, a := range all {
		for _, b := range all[i+1:] {
			if pinned == most || a.Label != b.Label || a.Material != b.Material {
				continue
			}
			pinned++
			for _, pins := range []night.Pins{{Together: [][]string{{a.ID, b.ID}}}, {Apart: [][]string{{a.ID, b.ID}}}} {
				r.Pins = pins
				p := made(t, all, r)
				checkPins(t, p)
				if len(p.Unplanned) != len(free.Unplanned) || p.Total.Money == nil || *p.Bound.Money > *p.Total.Money {
					t.Errorf("%v: left out %v, money %v, bound %v", pins, p.Unplanned, p.Total.Money, p.Bound.Money)
				}
			}
		}
	}
	if pinned < 2 {
		t.Errorf("only %d pairs were pinned", pinned)
	}
}
