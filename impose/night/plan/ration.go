package plan

import (
	"cmp"
	"context"
	"slices"

	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// withinPart is the part of the time that a plan gets which is made again.
const withinPart = 2

// within plans the orders again at the prices of the webs that run out, and with fewer on
// them each time, until what is in stock does. It returns those that find no web, each
// with the last that it had.
func (c *picked) within(ctx context.Context, all []*intake.Order, r *night.Rules) (gone map[int]lotKey, err error) {
	gone = map[int]lotKey{}
	other, orders := c.prices.priced(r), all
	other.Time = max(r.Time/withinPart, 1)
	for try := 1; try <= mostTries; try++ {
		if try > 1 {
			if orders = ration(orders, c.groups, gone, try-1, r); len(orders) == 0 {
				c.groups, c.others = nil, nil
				return gone, nil
			}
		}
		x, err := choices(ctx, orders, other)
		if err != nil {
			return nil, err
		}
		if try == 1 {
			c.knows(x, c.prices, all, r)
		}
		c.groups, c.others, c.left = restate(x.groups, other, r), nil, x.left
		for _, groups := range x.others {
			if groups = restate(groups, other, r); groups != nil {
				c.others = append(c.others, groups)
			}
		}
		if len(overdrawn(c.groups)) == 0 {
			break
		}
	}
	for _, g := range overdrawn(c.groups) {
		c.groups = slices.DeleteFunc(c.groups, func(h *group) bool { return h == g })
		for _, o := range g.orders {
			gone[o.Index] = lotOf(g)
		}
	}
	for _, groups := range append(c.others, c.groups) {
		onAllCores(len(groups), func(i int) { groups[i].judge(ctx, r) })
	}
	c.allWays(all)
	return gone, ctx.Err()
}

// claim is orders that stay together and the web that they take in a plan.
type claim struct {
	orders []*intake.Order
	takes  float64
	ways   int  // on other webs
	over   bool // in a group that finds too little
}

// claims returns what a plan's groups take of a web, who is to keep it first: who is more
// urgent, then who has no other web, whose group finds enough, who has few others, who
// is due, and who takes little.
func claims(groups []*group, key lotKey, over []*group, r *night.Rules) (list []claim) {
	for _, g := range groups {
		if lotOf(g) != key {
			continue
		}
		_, each := g.places(r)
		all, first := 0.0, len(list)
		for _, set := range units(g.orders, r) {
			x := claim{orders: set, ways: len(elsewhere(set[0], key, r)), over: slices.Contains(over, g)}
			for _, o := range set {
				x.takes += float64(g.need(o, each, r))
			}
			all += x.takes
			list = append(list, x)
		}
		for i := range list[first:] {
			list[first+i].takes *= float64(g.takes(&g.plan).gross) / all
		}
	}
	behind := func(yes bool) int {
		if yes {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(list, func(a, b claim) int {
		return cmp.Or(cmp.Compare(b.orders[0].Priority, a.orders[0].Priority), cmp.Compare(behind(a.ways > 0), behind(b.ways > 0)),
			cmp.Compare(behind(a.over), behind(b.over)), cmp.Compare(a.ways, b.ways), dueFirst(a.orders[0].Due, b.orders[0].Due), cmp.Compare(a.takes, b.takes))
	})
	return list
}

// ration takes the web that runs out from orders until what is left of it should do for
// the others, more of them with each try; at least from one. Orders that have none left
// are gone.
func ration(orders []*intake.Order, groups []*group, gone map[int]lotKey, try int, r *night.Rules) (out []*intake.Order) {
	lose, over, seen := map[int]lotKey{}, overdrawn(groups), map[lotKey]bool{}
	for _, g := range over {
		key := lotOf(g)
		if seen[key] {
			continue
		}
		seen[key] = true
		all, _ := key.metres()
		room := float64(all) * (1.04 - 0.04*float64(try))
		list := claims(groups, key, over, r)
		for i, x := range list {
			if room -= x.takes; room >= 0 && i < len(list)-1 {
				continue
			}
			room = max(room, room+x.takes) // a smaller one may find enough
			for _, o := range x.orders {
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
