package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
)

// TestWhatFamiliesCountIsNoMoreThanChangesCost draws small nights, prints each family on
// beds at random, and compares what the bound counts for changes with what they cost in
// the best of all orders of the groups on each press.
func TestWhatFamiliesCountIsNoMoreThanChangesCost(t *testing.T) {
	rng := rand.New(rand.NewPCG(18, 4))
	counted, spent, inks := int64(0), int64(0), 0
	for trial := range trials.Number(t, "QUOIN_ENTERING", 60, 1000) {
		r := nighttest.MoneyRules(t)
		r.House.Dies = nighttest.Dies(t)
		for _, press := range presses(r) {
			press.Changes.Material, press.Changes.Die, press.Changes.Ink = 1+20*rng.Float64(), 1+20*rng.Float64(), 6*rng.Float64()
		}
		all := nighttest.MoneyOrders(t, 40+trial%200)
		var some []job.Order
		for _, i := range rng.Perm(40)[:2+rng.IntN(5)] {
			o := all[i]
			for k := range 1 + rng.IntN(2) { // the same label in two sets of inks
				o.Inks = [][]string{{"C", "K", "M", "Y"}, {"C", "K", "M", "Quince Gold", "Y"}, {"C", "K", "M", "White", "Y"}}[(i+k)%3]
				o.ID += string(rune('a' + k))
				some = append(some, o)
			}
		}
		in, err := intake.Take(t.Context(), some, r)
		if err != nil {
			t.Fatal(err)
		}
		groups, err := groupUp(in.Orders, nil, r)
		if err != nil {
			t.Fatal(err)
		}
		fams := families(in.Orders, groups, r)
		enterAll(fams, r)
		bound := int64(0)
		on := map[*job.Press][]*group{}
		for _, f := range fams {
			var mine []*group
			same := rng.IntN(2) == 0
			w := f.beds[rng.IntN(len(f.beds))]
			for i := range f.orders {
				if !same {
					w = f.beds[rng.IntN(len(f.beds))]
				}
				if w.on[i] == nil {
					continue
				}
				g, err := newGroup([]*intake.Order{w.on[i]}, r)
				if err != nil {
					t.Fatal(err)
				}
				mine = append(mine, g)
				on[g.press] = append(on[g.press], g)
			}
			if len(mine) < len(f.orders) {
				continue // counts for less
			}
			bound += entering{f, r}.of(mine)
			if f.entered && len(f.mixed()) > 0 {
				inks++
			}
		}
		v := visitsOf(fams, r)
		least := bound + v.least(len(presses(r)))
		cost := int64(0)
		for press, list := range on {
			if len(list) > 8 {
				list = nil // too many orders of them; what they cost is not counted
				least = math.MinInt64
			}
			cost += cheapest(&table{press: press, p: &Plan{rules: r}}, list)
		}
		if least > cost {
			t.Errorf("case %d: the bound counts %d for changes that cost %d", trial, least, cost)
		}
		counted, spent = counted+max(0, least), spent+cost
	}
	t.Logf("%d counted of %d, %d families of several inks", counted, spent, inks)
	if counted == 0 || inks == 0 {
		t.Error("nothing was counted")
	}
}

// cheapest is what changes between groups cost in the best of all orders.
func cheapest(t *table, groups []*group) int64 {
	n := len(groups)
	if n == 0 {
		return 0
	}
	best := make([]map[int]int64, 1<<n) // by set and last
	for set := 1; set < 1<<n; set++ {
		best[set] = map[int]int64{}
		for last := range n {
			if set>>last&1 == 0 {
				continue
			}
			before := set &^ (1 << last)
			if before == 0 {
				best[set][last] = 0
				continue
			}
			least := int64(math.MaxInt64)
			for k, v := range best[before] {
				least = min(least, v+t.passes(groups[k].set(), groups[last]).cost)
			}
			best[set][last] = least
		}
	}
	least := int64(math.MaxInt64)
	for _, v := range best[1<<n-1] {
		least = min(least, v)
	}
	return least
}
