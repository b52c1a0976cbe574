package plan

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
)

// rollRules are a night by money without dies on a press of given prices for rolls.
func rollRules(t *testing.T, roll, part, splice, over float64) *night.Rules {
	t.Helper()
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Presses, r.FreeWeb, r.House.WebWidth = nil, nil, false, 340*geometry.Millimetre
	r.House.Label = geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}
	p := r.House.Press.Prices
	p.PerRoll, p.PerPartRoll, p.PerSplice, p.PerOver = roll, part, splice, over
	return r
}

// TestFullRollsAreAPrice: 5,000 labels in rolls of 1,000. In six lanes each gives 840
// labels, six part rolls; whole rolls take five lanes of 84 frames and leave one
// blank, 14 frames more than the 70 of six lanes. Which is printed is a matter of
// price: dear part rolls give five full ones, cheap ones six parts.
func TestFullRollsAreAPrice(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,labels-per-roll,inks\nA,5000,1000,K\n")
	cheap, dear := made(t, all, rollRules(t, 0.2, 0, 0, 0)), made(t, all, rollRules(t, 0.2, 9, 0, 0))
	for _, c := range []struct {
		name        string
		p           *Plan
		full, parts int64
	}{{"cheap", cheap, 0, 6}, {"dear", dear, 5, 0}} {
		rolls, parts := int64(0), int64(0)
		for _, run := range c.p.Runs {
			for _, s := range run.Orders {
				rolls, parts = rolls+s.Rolls, parts+s.PartRolls
			}
		}
		if rolls != c.full || parts != c.parts {
			t.Errorf("%s part rolls: %d full and %d parts, want %d and %d: %+v", c.name, rolls, parts, c.full, c.parts, c.p.Runs)
		}
	}
	if cheap.Groups[0].RollFrames != 0 || dear.Groups[0].RollFrames == 0 {
		t.Errorf("rolls of %d and %d frames", cheap.Groups[0].RollFrames, dear.Groups[0].RollFrames)
	}
	// The dear plan costs less than the cheap one would at its prices: six part rolls
	// at 9.
	if at := *cheap.Total.Money + 6*900; *dear.Total.Money >= at {
		t.Errorf("%d, and %d with part rolls", *dear.Total.Money, at)
	}
	r := rollRules(t, 0.2, 9, 0, 0)
	r.WholeRolls = true
	if p := made(t, all, r); *p.Total.Money != *dear.Total.Money {
		t.Errorf("%d, and %d by the rule", *dear.Total.Money, *p.Total.Money)
	}
}

// TestRunsEndWithARoll: of 11,900 labels in rolls of 1,200, 12 rows, each of six lanes gives 1,992
// labels in 166 frames: a full roll and a rest of 792. 200 frames end with a roll.
func TestRunsEndWithARoll(t *testing.T) {
	all := nighttest.Orders(t, "order,quantity,labels-per-roll,inks\nA,11900,1200,K\n")
	if p := made(t, all, rollRules(t, 0.2, 9, 0, 0)); p.Runs[0].Orders[0].PartRolls != 0 || p.Runs[0].Frames%100 != 0 {
		t.Errorf("%+v in %d frames", p.Runs[0].Orders[0], p.Runs[0].Frames)
	}
	if p := made(t, all, rollRules(t, 0.2, 9, 0, 5)); p.Runs[0].Orders[0].PartRolls == 0 {
		t.Errorf("overs at 5 each are made for a part roll: %+v", p.Runs[0].Orders[0])
	}
	limited := nighttest.Orders(t, "order,quantity,labels-per-roll,overs,inks\nA,11900,1200,1%,K\n")
	if p := made(t, limited, rollRules(t, 0.2, 9, 0, 0)); p.Runs[0].Orders[0].Labels > 12019 {
		t.Errorf("%d labels, the customer takes 12,019", p.Runs[0].Orders[0].Labels)
	}
}

// TestRollsNeverCostMore: nights drawn with rolls of many sizes cost no more than the
// same runs as they were found, and somewhere less. The checker of all plans proves
// each (money_test.go).
func TestRollsNeverCostMore(t *testing.T) {
	cases, less := trials.Number(t, "", 8, 20), 0
	for seed := range cases {
		rng := rand.New(rand.NewPCG(uint64(seed), 9))
		var b strings.Builder
		b.WriteString("order,quantity,labels-per-roll,inks,overs,splices\n")
		for i := range 3 + rng.IntN(8) {
			fmt.Fprintf(&b, "%d,%d,%d,\"C,M,Y,K\",%s,%s\n", i, 500+rng.IntN(9000), []int{250, 500, 600, 1000, 1200}[rng.IntN(5)], []string{"", "5%", "30%"}[rng.IntN(3)], []string{"", "yes", "no"}[rng.IntN(3)])
		}
		all := nighttest.Orders(t, b.String())
		r := rollRules(t, 0.2, float64(rng.IntN(4)), 0.5, 0.001*float64(rng.IntN(3)))
		in, err := intake.Take(t.Context(), all, r)
		if err != nil {
			t.Fatal(err)
		}
		found, err := choices(t.Context(), in.Orders, r)
		if err != nil {
			t.Fatal(err)
		}
		found.beat(in, r)
		before := *lay(found, in, r).Total.Money
		p := made(t, all, r)
		if *p.Total.Money > before {
			t.Errorf("night %d: %d, and %d without a look at rolls", seed, *p.Total.Money, before)
		}
		if *p.Total.Money < before {
			less++
		}
		for _, run := range p.Runs {
			for _, s := range run.Orders {
				if s.order.Limit > 0 && len(p.groups[run.Group-1].plan.Runs) == 1 && s.Labels-s.Trimmed > max(s.order.Limit, s.OrderQuantity+int64(run.Rows)*s.Lanes) {
					t.Errorf("night %d: %s gets %d, takes %d", seed, s.Order, s.Labels-s.Trimmed, s.order.Limit)
				}
			}
		}
	}
	if less == 0 {
		t.Error("no night costs less by its rolls")
	}
	t.Logf("%d of %d nights cost less", less, cases)
}
