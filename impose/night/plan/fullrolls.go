package plan

import (
	"cmp"
	"context"
	"math"
	"slices"

	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// Full rolls as a price. A lane that ends inside a roll leaves a part roll, or a rest
// to be spliced, and both cost money. The search counts frames and runs; here each
// group is weighed with its rolls as well: as it was found, with runs that go on to
// the end of a roll, and with orders that share runs of whole rolls only.

// rollPrices reports whether rolls make any difference to what a night costs.
func rollPrices(r *night.Rules) bool {
	if r.By != night.Money || r.Mixed || r.WholeRolls {
		return false
	}
	prices := r.House.Press.Prices
	return prices.PerRoll > 0 || prices.PerPartRoll > 0 || prices.PerSplice > 0
}

// reel replaces each group of the plans by what costs least with its rolls.
func (c *picked) reel(ctx context.Context, r *night.Rules) error {
	if !rollPrices(r) {
		return nil
	}
	var all []*group
	for _, groups := range append([][]*group{c.groups}, c.others...) {
		for _, g := range groups {
			if !slices.Contains(all, g) {
				all = append(all, g)
			}
		}
	}
	better := make([][]*group, len(all))
	onAllCores(len(all), func(i int) { better[i] = reeling{all[i], r}.cheapest(ctx) })
	if err := ctx.Err(); err != nil {
		return err
	}
	swap := func(groups []*group) []*group {
		var out []*group
		for _, g := range groups {
			out = append(out, better[slices.Index(all, g)]...)
		}
		if len(overdrawn(out)) > 0 {
			return groups
		}
		return out
	}
	c.groups = swap(c.groups)
	for i := range c.others {
		c.others[i] = swap(c.others[i])
	}
	return nil
}

// reeling weighs what the rolls of a group cost, beside its web.
type reeling struct {
	group *group
	rules *night.Rules
}

// cheapest returns the group, or those that take its place because they cost less.
func (w reeling) cheapest(ctx context.Context) []*group {
	g, r := w.group, w.rules
	if len(g.plan.Runs) == 0 || g.roll > 0 || !slices.ContainsFunc(g.orders, func(o *intake.Order) bool { return o.PerRoll > 0 }) {
		return []*group{g}
	}
	longer := w.prolonged()
	least := reeling{longer, r}.cost()
	if whole := w.whole(ctx, least); whole != nil && rolledCost(whole, r) < least {
		return whole
	}
	return []*group{longer}
}

// whole returns the group's orders in runs of whole rolls, those together whose
// rolls take as many frames; nil where some can't be, or they surely cost no less.
func (w reeling) whole(ctx context.Context, cost int64) (out []*group) {
	g, r := w.group, w.rules
	whole := *r
	whole.WholeRolls = true
	of := map[int64][]*intake.Order{}
	var frames []int64
	var all []*intake.Order
	for _, o := range g.orders {
		x := o.InWholeRolls(&whole)
		if x.RollFrames == 0 || len(r.Pins.With(o.ID)) > 1 {
			return nil
		}
		if of[x.RollFrames] == nil {
			frames = append(frames, x.RollFrames)
		}
		of[x.RollFrames], all = append(of[x.RollFrames], x), append(all, x)
	}
	if w.leastWhole(all) >= cost {
		return nil
	}
	for _, n := range frames {
		h, err := newGroup(of[n], r)
		if err != nil {
			return nil
		}
		p, left := h.problem(r)
		if len(left) > 0 {
			return nil
		}
		if h.plan, h.bounds, err = gang.Solve(ctx, p, gang.Limits{Steps: mergeSteps, Seed: r.Seed}); err != nil {
			return nil
		}
		out = append(out, h)
	}
	return out
}

// prolonged returns the group with each run as long as costs least: to the end of a
// roll of one of its lanes, where that costs less than the part roll.
func (w reeling) prolonged() *group {
	g, r := w.group, w.rules
	out := *g
	out.plan.Runs = slices.Clone(g.plan.Runs)
	_, each := g.places(r)
	made := w.made()
	perOver := pricesOf(g, r).PerOver * unit(pricesOf(g, r).Currency) * grains
	for k := range out.plan.Runs {
		run := out.plan.Runs[k]
		was, least := run.Length, int64(0)
		before, best := w.runCost(&run), was
		for _, end := range w.ends(&run) {
			over, within := int64(0), true
			for _, s := range run.Shares {
				more, o := s.Lanes*each*(end-was), g.orders[s.Order]
				over += more
				within = within && (o.Limit == 0 || o.Printed+made[s.Order]+more <= o.Limit)
			}
			run.Length = end
			if more := w.runCost(&run) - before + int64(math.Round(float64(over)*perOver)); within && more < least {
				least, best = more, end
			}
		}
		for _, s := range run.Shares {
			made[s.Order] += s.Lanes * each * (best - was)
		}
		out.plan.Runs[k].Length = best
		out.plan.Length += best - was
	}
	if out.plan.Length == g.plan.Length {
		return g
	}
	out.plan.Cost = runsCost(&out, out.plan.Length, len(out.plan.Runs), r)
	out.measure()
	return &out
}

// ends returns lengths beyond a run's own at which a lane, or the lanes of an
// order together, fill the roll that they end in.
func (w reeling) ends(run *gang.Run) (ends []int64) {
	g := w.group
	_, each := g.places(w.rules)
	for _, s := range run.Shares {
		per := g.orders[s.Order].PerRoll
		if per == 0 {
			continue
		}
		for _, lanes := range []int64{1, s.Lanes} {
			full := (run.Length*each*lanes + per - 1) / per * per
			ends = append(ends, (full+each*lanes-1)/(each*lanes))
		}
	}
	slices.Sort(ends)
	return slices.DeleteFunc(slices.Compact(ends), func(n int64) bool { return n == run.Length })
}

// made returns the labels of each order that it is given, in the order of the group.
func (w reeling) made() []int64 {
	g := w.group
	_, each := g.places(w.rules)
	sum := make([]int64, len(g.orders))
	for _, run := range g.plan.Runs {
		for _, s := range run.Shares {
			if g.roll > 0 { // what comes off with the end of a roll nobody gets
				sum[s.Order] += s.Lanes * (run.Length / g.roll) * g.orders[s.Order].PerRoll
			} else {
				sum[s.Order] += s.Lanes * run.Length * each
			}
		}
	}
	return sum
}

func rolledCost(groups []*group, r *night.Rules) (sum int64) {
	for _, g := range groups {
		sum += reeling{g, r}.cost()
	}
	return sum
}

// cost is what the group's runs cost with their rolls and what they make beyond
// the orders, in grains.
func (w reeling) cost() (sum int64) {
	g := w.group
	for i := range g.plan.Runs {
		sum += w.runCost(&g.plan.Runs[i])
	}
	over := int64(0)
	for i, n := range w.made() {
		over += max(0, n-(g.orders[i].Quantity-g.orders[i].Printed))
	}
	prices := pricesOf(g, w.rules)
	return sum + int64(math.Round(float64(over)*prices.PerOver*unit(prices.Currency)*grains))
}

// runCost is what a run costs with its rolls, in grains.
func (w reeling) runCost(planned *gang.Run) int64 {
	g, r := w.group, w.rules
	_, each := g.places(r)
	sum := runsCost(g, planned.Length, 1, r)
	run := &Run{Frames: planned.Length, Rows: int(each), group: g}
	for _, s := range planned.Shares {
		o := g.orders[s.Order]
		sum += run.rolled(o, s.Lanes, cmp.Or(o.Splices, r.House.Roll.Splices), pricesOf(g, r))
	}
	return sum
}

// leastWhole is what runs of whole rolls cost at least, in grains.
func (w reeling) leastWhole(orders []*intake.Order) int64 {
	g, r := w.group, w.rules
	frame, once := rate(g, len(g.inks), r)
	places, _ := g.places(r)
	lanes, rolls := int64(0), int64(0)
	for _, o := range orders {
		lanes += o.Rolls() * o.RollFrames
		rolls += rollsCost(o, pricesOf(g, r))
	}
	if widthsDiffer(g) {
		return g.bounds.Cost + rolls
	}
	return frame*(lanes/places) + once*int64(max(g.bounds.Runs, 1)) + rolls
}
