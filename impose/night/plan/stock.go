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

// pick plans the orders, within what is in stock. Where a web runs out, the groups
// that need most of it keep it, as many orders of the next as there is web for keep the
// rest, and the others are planned on other webs; what finds none is left out. The bound
// is that of unlimited stock, until rivals know better.
func pick(ctx context.Context, orders []*intake.Order, r *night.Rules) (*picked, error) {
	c, err := choices(ctx, orders, r)
	if err != nil || r.By != night.Money {
		return c, err
	}
	first, all, short := c.joint, orders, shortages(c.groups)
	for _, groups := range c.others {
		short = append(short, shortages(groups)...)
	}
	gone := map[int]lotKey{} // of orders that find no web, the last that they had
	for try := 1; ; try++ {
		over := shortages(c.groups)
		if len(over) == 0 {
			break
		}
		if try == mostTries {
			for _, s := range over {
				c.groups = slices.DeleteFunc(c.groups, func(g *group) bool { return g == s.group })
				for _, o := range s.group.orders {
					gone[o.Index] = lotOf(s.group)
				}
			}
			break
		}
		orders = ration(orders, over, gone, try, r)
		if len(orders) == 0 {
			c = &picked{joint: first}
			break
		}
		if c, err = choices(ctx, orders, r); err != nil {
			return nil, err
		}
	}
	c.allWays(all)
	if c.joint, c.short = first, short; len(gone) > 0 {
		if err := c.squeeze(ctx, all, gone, r); err != nil {
			return nil, err
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
type shortage struct {
	*group
	room geometry.Length
}

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
			over = append(over, shortage{group: g})
			continue
		}
		used[key] += takes
	}
	for i := range over {
		all, _ := lotOf(over[i].group).metres()
		over[i].room = all - used[lotOf(over[i].group)]
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

// ration takes the web that runs out from orders until what is left of it should do for
// the others, more of them with each try; at least from one. Who has no other web keeps
// it before others, then who is more urgent. Orders that have none left are gone.
func ration(orders []*intake.Order, over []shortage, gone map[int]lotKey, try int, r *night.Rules) (out []*intake.Order) {
	lose := map[int]lotKey{}
	spent := map[lotKey]geometry.Length{}
	for _, s := range over {
		key := lotOf(s.group)
		_, each := s.places(r)
		takes := float64(s.takes(&s.plan).gross)
		volume := func(set []*intake.Order) (n float64) {
			for _, o := range set {
				n += float64(s.need(o, each, r))
			}
			return n
		}
		all := volume(s.orders)
		sets := units(s.orders, r)
		slices.SortStableFunc(sets, func(a, b []*intake.Order) int {
			return cmp.Or(cmp.Compare(b[0].Priority, a[0].Priority), cmp.Compare(len(elsewhere(a[0], key, r)), len(elsewhere(b[0], key, r))),
				dueFirst(a[0].Due, b[0].Due), cmp.Compare(volume(a), volume(b)))
		})
		room := float64(s.room-spent[key]) * (1.1 - 0.1*float64(try))
		for i, set := range sets {
			part := takes * volume(set) / all
			if room -= part; room >= 0 && i < len(sets)-1 {
				spent[key] += geometry.Length(part)
				continue
			}
			room = min(room, 0)
			for _, o := range set {
				lose[o.Index] = key
			}
		}
	}
	for _, o := range orders {
		if key, loses := lose[o.Index]; loses {
			ways := elsewhere(o, key, r)
			if len(ways) == 0 {
				gone[o.Index] = key
				continue
			}
			other := *o.On(ways[0], r) // On may return the order itself
			other.Ways = ways
			o = &other
		}
		out = append(out, o)
	}
	return out
}

// elsewhere lists the ways to print an order on another web.
func elsewhere(o *intake.Order, key lotKey, r *night.Rules) []*intake.Forme {
	return slices.DeleteFunc(slices.Clone(o.Ways), func(f *intake.Forme) bool {
		return f.House(r.House).Press == key.press && f.Layout.Web.Width == key.width
	})
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
	x, err := choices(ctx, printed, r)
	if err == nil {
		c.joint = x.joint
	}
	return err
}
