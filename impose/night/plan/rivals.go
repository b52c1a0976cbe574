package plan

import (
	"cmp"
	"context"
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// Rivals. What a plan costs is not all known while it is searched for: rests of rolls
// have a price of their own until they are used up, and labels in lanes of several
// orders are sorted. So the night is planned by other rules too, which say the one or
// the other for all of it, and what costs least with everything is taken, part by part.

// mostBlended is how many parts of a plan are tried by a rival's.
const mostBlended = 32

// rivalRules returns the rules of the rivals that a night has by money.
func rivalRules(orders []*intake.Order, r *night.Rules) (list []*night.Rules) {
	add := func(change func(*night.Rules)) {
		other := *r
		other.Time, other.Tell, other.Stands = max(r.Time/2, 1), nil, nil
		change(&other)
		list = append(list, &other)
	}
	if r.By != night.Money {
		return nil
	}
	if rested(orders, r) {
		add(func(other *night.Rules) { other.Rests = true })
	}
	sorting := func(p *job.Press) bool { return pricesOn(p, r).PerSorted > 0 }
	if r.Mixed && slices.ContainsFunc(presses(r), sorting) {
		add(func(other *night.Rules) { other.Mixed = false })
	}
	return list
}

// rested reports whether orders might be printed on web of which some costs less than it
// counts.
func rested(orders []*intake.Order, r *night.Rules) bool {
	seen := map[shelf]bool{}
	for _, o := range orders {
		for _, f := range o.Ways {
			s := shelf{f.House(r.House).Press, o.Stock, f.Layout.Web.Width}
			if seen[s] {
				continue
			}
			seen[s] = true
			if s.cheapest(r) < s.price(r) {
				return true
			}
		}
	}
	return false
}

// outdo takes what rivals print for less, where all orders are printed.
func (c *picked) outdo(ctx context.Context, in *intake.Taken, r *night.Rules) error {
	if len(c.left) > 0 {
		return nil
	}
	lists, err := c.rivals(ctx, in.Orders, r)
	if err != nil {
		return err
	}
	return c.blend(ctx, lists, in, r)
}

// rivals plans the orders by other rules. What no plan costs less than with all web of a
// width at the price of its rests, none does with a part of it.
func (c *picked) rivals(ctx context.Context, orders []*intake.Order, r *night.Rules) (lists [][]*group, err error) {
	for _, other := range rivalRules(orders, r) {
		x, err := choices(ctx, orders, other)
		if err != nil {
			return nil, err
		}
		if len(x.left) > 0 {
			continue
		}
		if other.Rests {
			c.joint.Least = max(c.joint.Least, x.joint.Least, x.joint.Bound+x.joint.Visits.least(len(presses(r))))
		}
		come, err := restated(ctx, append(x.others, x.groups), other, r)
		if err != nil {
			return nil, err
		}
		lists = append(lists, come...)
	}
	return lists, nil
}

// restated returns plans that were found by other rules as the night's have them, with
// their rolls, without those that can't be printed so.
func restated(ctx context.Context, plans [][]*group, from, to *night.Rules) (lists [][]*group, err error) {
	for _, groups := range plans {
		if out := restate(groups, from, to); out != nil {
			one := &picked{groups: out}
			if err := one.reel(ctx, to); err != nil {
				return nil, err
			}
			lists = append(lists, one.groups)
		}
	}
	return lists, nil
}

// restate returns groups that were planned by other rules as the night's have them; nil
// where some can't be printed so.
func restate(groups []*group, from, to *night.Rules) (out []*group) {
	for _, g := range groups {
		x, err := newGroup(g.orders, to)
		if err != nil || from.Mixed != to.Mixed && g.roll > 0 {
			return nil
		}
		each := int64(1)
		if from.Mixed != to.Mixed {
			_, each = g.places(from)
		}
		for _, run := range g.plan.Runs {
			run.Shares = slices.Clone(run.Shares)
			for i := range run.Shares {
				run.Shares[i].Lanes *= each
			}
			x.plan.Runs = append(x.plan.Runs, run)
		}
		if x.addUp(to) != nil || len(x.orders) != len(g.orders) {
			return nil
		}
		out = append(out, x)
	}
	return out
}

// partOf is what two plans print in groups of their own each: the same orders.
type partOf struct{ mine, theirs []*group }

// partsOf parts two plans into such as share no order.
func partsOf(mine, theirs []*group) (parts []partOf) {
	together := joined[int]{}
	for _, g := range slices.Concat(mine, theirs) {
		for _, o := range g.orders {
			together.join(o.Index, g.orders[0].Index)
		}
	}
	at := map[int]int{}
	for i, groups := range [][]*group{mine, theirs} {
		for _, g := range groups {
			key := together.root(g.orders[0].Index)
			k, known := at[key]
			if !known {
				k = len(parts)
				at[key], parts = k, append(parts, partOf{})
			}
			if i == 0 {
				parts[k].mine = append(parts[k].mine, g)
			} else {
				parts[k].theirs = append(parts[k].theirs, g)
			}
		}
	}
	return parts
}

// blend takes the rivals' groups for its own, all or part by part, where the night costs
// less with them.
func (c *picked) blend(ctx context.Context, lists [][]*group, in *intake.Taken, r *night.Rules) error {
	if len(lists) == 0 {
		return nil
	}
	costs := func(groups []*group) int64 {
		x := *c
		x.groups = groups
		return *lay(&x, in, r).Total.Money
	}
	least := costs(c.groups)
	own := c.groups
	try := func(groups []*group) {
		if len(overdrawn(groups)) > 0 {
			return
		}
		if cost := costs(groups); cost < least {
			least, c.groups = cost, groups
		}
	}
	for _, theirs := range lists {
		try(theirs)
	}
	for _, theirs := range lists {
		parts := partsOf(c.groups, theirs)
		slices.SortStableFunc(parts, func(a, b partOf) int { return cmp.Compare(takesOf(b.mine), takesOf(a.mine)) })
		for _, p := range parts[:min(len(parts), mostBlended)] {
			if err := ctx.Err(); err != nil {
				return err
			}
			rest := slices.DeleteFunc(slices.Clone(c.groups), func(g *group) bool { return slices.Contains(p.mine, g) })
			try(append(rest, p.theirs...))
		}
	}
	for _, g := range c.groups {
		if !slices.Contains(own, g) {
			g.judge(ctx, r)
		}
	}
	return ctx.Err()
}

// takesOf returns how much web groups take.
func takesOf(groups []*group) (sum geometry.Length) {
	for _, g := range groups {
		sum += g.takes(&g.plan).gross
	}
	return sum
}
