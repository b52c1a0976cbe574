package plan

import (
	"cmp"
	"context"
	"slices"

	"quoin/geometry"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

// mostTries is how often a night is planned again because a web runs out.
const mostTries = 6

// pick plans the orders, within what is in stock. Where a web runs out, the groups
// that need most of it keep it and the others are planned on other webs; what
// finds none is left out. The bound is that of unlimited stock.
func pick(ctx context.Context, orders []*intake.Order, r *night.Rules) (*picked, error) {
	c, err := choices(ctx, orders, r)
	if err != nil || r.By != night.Money {
		return c, err
	}
	first := c.joint
	for try := 1; ; try++ {
		over := overdrawn(c.groups)
		if len(over) == 0 {
			break
		}
		other, moved := without(orders, over, r)
		if !moved || try == mostTries {
			c.leave(over)
			first.Bound = 0 // of orders that are not printed
			break
		}
		orders = other
		if c, err = choices(ctx, orders, r); err != nil {
			return nil, err
		}
	}
	c.joint = first
	return c, c.reel(ctx, r)
}

// overdrawn returns the groups that find no web any more, where those that take
// most of it keep theirs.
func overdrawn(groups []*group) []*group {
	used := map[lotKey]geometry.Length{}
	var over []*group
	sorted := slices.Clone(groups)
	slices.SortStableFunc(sorted, func(a, b *group) int {
		return cmp.Compare(b.takes(&b.plan).gross, a.takes(&a.plan).gross)
	})
	for _, g := range sorted {
		key, takes := lotOf(g), g.takes(&g.plan).gross
		if all, limited := key.metres(); limited && used[key]+takes > all {
			over = append(over, g)
			continue
		}
		used[key] += takes
	}
	return over
}

// metres returns how much of a web is in stock, and whether there is an end of it.
func (k lotKey) metres() (all geometry.Length, limited bool) {
	rests, full := k.lots()
	for _, l := range slices.Concat(rests, full) {
		if l.Length == 0 {
			return 0, false
		}
		all += l.Length
	}
	return all, len(rests)+len(full) > 0
}

// without takes from orders of groups the web that they are printed on. It reports
// whether some order has another one.
func without(orders []*intake.Order, over []*group, r *night.Rules) (out []*intake.Order, moved bool) {
	lot := map[int]lotKey{}
	for _, g := range over {
		for _, o := range g.orders {
			lot[o.Index] = lotOf(g)
		}
	}
	for _, o := range orders {
		if k, gone := lot[o.Index]; gone {
			ways := slices.DeleteFunc(slices.Clone(o.Ways), func(f *intake.Forme) bool {
				return f.House(r.House).Press == k.press && f.Layout.Web.Width == k.width
			})
			if len(ways) > 0 {
				other := *o.On(ways[0], r) // On may return the order itself
				other.Ways = ways
				o, moved = &other, true
			}
		}
		out = append(out, o)
	}
	return out, moved
}

// leave takes groups out of the plan.
func (c *picked) leave(over []*group) {
	c.groups = slices.DeleteFunc(c.groups, func(g *group) bool { return slices.Contains(over, g) })
	for _, g := range over {
		k := lotOf(g)
		all, _ := k.metres()
		for _, o := range g.orders {
			c.left = append(c.left, night.NoteOn(o.ID, night.NoWeb, "%s of %s in %s are in stock, and other orders take them (order web, or let another width or press serve)",
				say.Metres(all.Metres()), g.stock, k.width))
		}
	}
}
