package plan

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"quoin/geometry"
	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

const (
	// mostTries is how often a night is planned again because a web runs out.
	mostTries = 6
	// mostSqueezed is how many orders that found no web are tried by themselves on what
	// the others leave.
	mostSqueezed = 100
)

// pick plans the orders, within what is in stock. Where a web runs out, it gets a price
// beside its own at which it should last; what is still too much of it goes to other
// webs by rationing, and what finds none is left out. The bound is that of unlimited
// stock, until the prices or rivals know better.
func pick(ctx context.Context, orders []*intake.Order, r *night.Rules) (*picked, error) {
	c, err := choices(ctx, orders, r)
	if err != nil || r.By != night.Money {
		return c, err
	}
	c.short = shortages(c.groups)
	over := len(c.short) > 0
	for _, groups := range c.others {
		c.short = append(c.short, shortages(groups)...)
	}
	if over {
		c.prices = firstPrices(c.groups, orders, r)
		gone, err := c.within(ctx, orders, r)
		if err != nil {
			return nil, err
		}
		if len(gone) > 0 {
			if err := c.squeeze(ctx, orders, gone, r); err != nil {
				return nil, err
			}
		}
	}
	return c, c.reel(ctx, r)
}

// allWays lets the orders of the plans have all their ways again.
func (c *picked) allWays(orders []*intake.Order) {
	ways := map[int][]*intake.Forme{}
	for _, o := range orders {
		ways[o.Index] = o.Ways
	}
	for _, groups := range append([][]*group{c.groups}, c.others...) {
		for _, g := range groups {
			g.orders = slices.Clone(g.orders)
			for i, o := range g.orders {
				if all := ways[o.Index]; len(all) != len(o.Ways) {
					other := *o
					other.Ways = all
					g.orders[i] = &other
				}
			}
		}
	}
}

// shortage is a group that finds less web than it takes.
type shortage struct{ *group }

// shortages returns the groups that find no web any more, where those that take
// most of it keep theirs.
func shortages(groups []*group) []shortage {
	used := map[lotKey]geometry.Length{}
	var over []shortage
	sorted := slices.Clone(groups)
	slices.SortStableFunc(sorted, func(a, b *group) int {
		return cmp.Compare(b.takes(&b.plan).gross, a.takes(&a.plan).gross)
	})
	for _, g := range sorted {
		key, takes := lotOf(g), g.takes(&g.plan).gross
		if all, limited := key.metres(); limited && used[key]+takes > all {
			over = append(over, shortage{g})
			continue
		}
		used[key] += takes
	}
	return over
}

// overdrawn returns the groups that find no web any more.
func overdrawn(groups []*group) (over []*group) {
	for _, s := range shortages(groups) {
		over = append(over, s.group)
	}
	return over
}

// squeeze prints orders that found no web by themselves on what the others leave, where
// that does, the most urgent and then the smallest first. What is left out then is no
// part of the bound.
func (c *picked) squeeze(ctx context.Context, orders []*intake.Order, gone map[int]lotKey, r *night.Rules) error {
	var open, printed []*intake.Order
	for _, o := range orders {
		if _, left := gone[o.Index]; !left {
			printed = append(printed, o)
		} else if len(r.Pins.With(o.ID)) == 1 {
			open = append(open, o)
		}
	}
	slices.SortStableFunc(open, func(a, b *intake.Order) int {
		return cmp.Or(cmp.Compare(b.Priority, a.Priority), dueFirst(a.Due, b.Due), cmp.Compare(a.Quantity, b.Quantity))
	})
	for _, o := range open[:min(len(open), mostSqueezed)] {
		var best *group
		for _, f := range o.Ways {
			g, err := newGroup([]*intake.Order{o.On(f, r)}, r)
			if err != nil {
				continue
			}
			p, left := g.problem(r)
			if len(left) > 0 {
				continue
			}
			g.plan, g.bounds, err = gang.Solve(ctx, p, gang.Limits{Steps: mergeSteps, Seed: r.Seed})
			if err != nil || len(overdrawn(append(slices.Clone(c.groups), g))) > 0 {
				continue
			}
			if best == nil || g.plan.Cost < best.plan.Cost {
				best = g
			}
		}
		if best != nil {
			c.groups, printed = append(c.groups, best), append(printed, o)
			delete(gone, o.Index)
		}
	}
	c.others = nil // they print other orders
	byIndex := map[int]*intake.Order{}
	for _, o := range orders {
		byIndex[o.Index] = o
	}
	for _, i := range slices.Sorted(maps.Keys(gone)) {
		k := gone[i]
		all, _ := k.metres()
		c.left = append(c.left, night.NoteOn(byIndex[i].ID, night.NoWeb, "%s of %s in %s are in stock, and other orders take them (order web, or let another width or press serve)",
			say.Metres(all.Metres()), byIndex[i].Stock, k.width))
	}
	if len(printed) == 0 || len(gone) == 0 {
		return ctx.Err()
	}
	return c.rebound(ctx, printed, r)
}

// rebound bounds the orders that are printed, where others are left out: what these would
// cost is no part of it. It takes the greater bound of unlimited stock and of the prices.
func (c *picked) rebound(ctx context.Context, printed []*intake.Order, r *night.Rules) error {
	free, dear := *r, c.prices.priced(r)
	free.Time = max(r.Time/withinPart, 1)
	dear.Time = free.Time
	x, err := choices(ctx, printed, &free)
	if err != nil {
		return err
	}
	y, err := choices(ctx, printed, dear)
	if err != nil {
		return err
	}
	c.joint = x.joint
	c.knows(y, c.prices, printed, r)
	return nil
}
