package plan

import (
	"testing"

	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
)

// TestChangesBetweenRunsAreChosenFor: each of two orders, of paper and of film,
// costs least on the narrow press, with a die of its own. One after the other
// they need a change of material, of inks and of the die, which was charged after
// the beds were chosen: 101.15. On two presses with one die nothing changes.
func TestChangesBetweenRunsAreChosenFor(t *testing.T) {
	c := drawExact(50)
	all, r := c.night(t)
	p := made(t, all, r)
	if len(p.Runs) != 2 || p.Runs[0].Press == p.Runs[1].Press || p.Runs[0].Die != p.Runs[1].Die {
		t.Errorf("runs %s with %s, %s with %s", p.Runs[0].Press, p.Runs[0].Die, p.Runs[1].Press, p.Runs[1].Die)
	}
	for _, part := range p.Total.Parts {
		switch part.Item {
		case ItemMaterial, ItemWidth, ItemInkChange, ItemDieChange:
			t.Errorf("%d for a %s", part.Money, part.Item)
		}
	}
}

// TestRulesArePricedAgainstThePlan plans the night anew under each rule of the
// comparison and takes the difference from there.
func TestRulesArePricedAgainstThePlan(t *testing.T) {
	c := drawExact(10)
	all, r := c.night(t)
	p := made(t, all, r)
	if err := p.Compared(t.Context(), all); err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, v := range p.Compare {
		var change func(*night.Rules)
		switch v.Rule {
		case "as asked":
			change = func(*night.Rules) {}
		case "no order split":
			change = func(r *night.Rules) { r.NoSplit = true }
		case "die D1 only":
			change = func(r *night.Rules) { r.House.Dies = r.House.Dies.Only("D1") }
		default:
			continue
		}
		seen++
		_, other := c.night(t)
		change(other)
		q := made(t, all, other)
		switch want := *q.Total.Money - *p.Total.Money; {
		case v.MoreMoney == nil:
			t.Errorf("%s has no money", v.Rule)
		case *v.MoreMoney != want:
			t.Errorf("%s costs %+d more, planned anew %+d", v.Rule, *v.MoreMoney, want)
		case v.Rule == "die D1 only" && want <= 0:
			t.Errorf("the case shows nothing: %s costs %+d more", v.Rule, want)
		}
	}
	if seen != 3 {
		t.Errorf("%d rules of 3 compared", seen)
	}
	web := nighttest.Rules()
	p = made(t, nighttest.Orders(t, "order,quantity\n1,900\n2,500\n"), web)
	if err := p.Compared(t.Context(), nighttest.Orders(t, "order,quantity\n1,900\n2,500\n")); err != nil {
		t.Fatal(err)
	}
	for _, v := range p.Compare {
		if v.MoreMoney != nil {
			t.Errorf("%s has money in a night by web", v.Rule)
		}
	}
}

// TestGreatNightsSeeChangesToo: of more groups than are improved in every way, whole
// ones go to other beds where that saves more in changes than it costs. Not every
// night has such.
func TestGreatNightsSeeChangesToo(t *testing.T) {
	better := 0
	for _, n := range []int{140, 160, 170} {
		all := nighttest.MoneyOrders(t, n)
		r := nighttest.MoneyRules(t)
		r.House.Dies = nighttest.Dies(t)
		in, err := intake.Take(t.Context(), all, r)
		if err != nil {
			t.Fatal(err)
		}
		c, err := choices(t.Context(), in.Orders, r)
		if err != nil || len(c.groups) <= mostRebed || len(c.others) < 2 {
			t.Fatalf("%d groups, %d other plans, %v", len(c.groups), len(c.others), err)
		}
		before := *lay(c, in, r).Total.Money
		other := *c
		other.groups = c.others[len(c.others)-1]
		p := lay(&other, in, r)
		if len(printedIn(p)) != len(all) {
			t.Errorf("%d orders of %d", len(printedIn(p)), len(all))
		}
		if t.Logf("%d orders for %d, was %d", n, *p.Total.Money, before); *p.Total.Money < before {
			better++
		}
	}
	if better == 0 {
		t.Error("no group went to another bed")
	}
}
