package plan

import (
	"testing"
	"time"

	"quoin/geometry"
	"quoin/geometry/choose"
	"quoin/geometry/gang"
	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/night/nighttest"
)

// older plans a night as the search does that shares orders out over beds and looks
// for the runs of each bed by itself.
func older(t *testing.T, all []job.Order, r *night.Rules) *Plan {
	t.Helper()
	in, err := intake.Take(t.Context(), all, r)
	if err != nil {
		t.Fatal(err)
	}
	orders, inks, err := lieTogether(t.Context(), in.Orders, r)
	if err != nil {
		t.Fatal(err)
	}
	groups, err := groupUp(orders, inks, r)
	if err != nil {
		t.Fatal(err)
	}
	first := *r
	first.By, first.Time = night.Web, r.Time/2
	groups, left := search(t.Context(), merge(t.Context(), groups, &first), &first)
	families := families(orders, groups, r)
	enterAll(families, r)
	steps := cores * gang.StepsFor(r.Time) / 2
	for i, f := range families {
		p := f.problem(r)
		p.Mixes = nil // so that runs of all beds are not looked for together
		share := max(steps*int64(len(f.orders))/int64(len(orders)), 1)
		c := choose.Choose(t.Context(), p, [][]choose.Cell{f.cells(f.start, r)}, gang.Limits{Steps: share, Seed: r.Seed + uint64(i)})
		if f.groups, err = f.take(c.Cells, r); err != nil || len(f.groups) == 0 {
			t.Fatalf("family %d of %d orders: %v", i, len(f.orders), err)
		}
	}
	c, err := settle(t.Context(), families, groups, left, r)
	if err != nil {
		t.Fatal(err)
	}
	c.beat(in, r)
	return lay(c, in, r)
}

// TestNoPlanCostsMoreThanOfBedsOneByOne: the money of a night, with its changes and
// rolls, is never above that of the older search, and is below it on the whole.
func TestNoPlanCostsMoreThanOfBedsOneByOne(t *testing.T) {
	sum, least := int64(0), int64(0)
	for _, n := range trials.Each(3, []int{601, 600, 602}) {
		var some []job.Order
		for _, o := range nighttest.MoneyOrders(t, n) {
			if w := o.Label.Across; o.Material == "film" && (w == 50*geometry.Millimetre || w == 40*geometry.Millimetre) {
				some = append(some, o)
			}
		}
		r := nighttest.MoneyRules(t)
		r.House.Dies, r.Time = nighttest.Dies(t), 100*time.Millisecond
		was := *older(t, some, r).Total.Money
		now := *made(t, some, r).Total.Money
		t.Logf("%d orders: %d, %d as before", len(some), now, was)
		if now > was {
			t.Errorf("night of %d: %d is more than %d", n, now, was)
		}
		sum, least = sum+was, least+now
	}
	if least >= sum {
		t.Errorf("%d in all, %d as before", least, sum)
	}
}
