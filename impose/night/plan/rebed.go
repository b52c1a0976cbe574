package plan

import (
	"context"
	"fmt"
	"slices"

	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// Families are chosen for one by one, but what changes between runs is paid for by
// all that share a press. So what was chosen is improved once more with the changes
// in sight: a group goes to another bed, two join, an order changes over.
const (
	mostRebed  = 16      // groups that are improved in every way; of more, whole ones go to other beds
	mostMoved  = 250     // times that this is tried
	rebedSteps = 20_000  // of the search for the runs of one group
	rebedLimit = 600_000 // groups that are looked at, by their orders
)

// rebedding is one such search.
type rebedding struct {
	ctx     context.Context
	rules   *night.Rules
	of      map[int]*family // by the order's place in the order file
	known   map[string]*group
	changes map[string]int64
	pairs   map[[2]*group]int64 // what passes between two
	steps   int64               // of the search for the runs of one group
	spent   int
	best    []*group
	cost    int64
}

// rebed returns the groups as they cost least with the changes between them; nil
// where nothing is gained. Of few orders it returns what none costs less than, too, its
// rolls left out: 0 where that is not known.
func rebed(ctx context.Context, all []*family, groups []*group, r *night.Rules) (better []*group, least int64) {
	if len(groups) == 0 || slices.ContainsFunc(groups, func(g *group) bool { return len(g.plan.Runs) == 0 }) {
		return nil, 0
	}
	b := &rebedding{ctx: ctx, rules: r, of: map[int]*family{}, known: map[string]*group{}, changes: map[string]int64{}, pairs: map[[2]*group]int64{}, steps: rebedSteps, best: groups}
	for _, f := range all {
		for _, o := range f.orders {
			b.of[o.Index] = f
		}
	}
	b.cost = b.price(groups)
	first := b.cost
	b.exchange(all)
	if len(b.best) > mostRebed {
		b.move()
	} else {
		for b.step() {
		}
		least = b.weigh(all)
	}
	if b.cost == first || ctx.Err() != nil {
		return nil, least
	}
	return b.best, least
}

// step takes the change that saves most, and reports whether one saves anything.
func (b *rebedding) step() bool {
	before, cost := b.best, b.cost
	try := func(gone []*group, come ...[]*group) {
		b.spent++
		next := slices.DeleteFunc(slices.Clone(before), func(g *group) bool { return slices.Contains(gone, g) })
		for _, list := range come {
			next = append(next, list...)
		}
		if c := b.price(next); c < b.cost {
			b.best, b.cost = next, c
		}
	}
	for i, g := range before {
		if b.ctx.Err() != nil || b.spent > rebedLimit {
			break
		}
		mine := b.anywhere(places(g))
		for _, x := range mine {
			try([]*group{g}, []*group{x})
		}
		for k, h := range before {
			if k == i {
				continue
			}
			if k > i && len(before) <= mostRebed/2 { // two at once, as when they change places
				for _, y := range b.anywhere(places(h)) {
					for _, x := range mine {
						try([]*group{g, h}, []*group{x, y})
					}
				}
			}
			if b.of[g.orders[0].Index] != b.of[h.orders[0].Index] || g.alone() || h.alone() {
				continue
			}
			if k > i {
				for _, x := range b.anywhere(slices.Concat(places(g), places(h))) {
					try([]*group{g, h}, []*group{x})
				}
			}
			for at := range g.orders { // one of its orders changes over
				rest, with := b.onSame(g, rid(places(g), at)), b.onSame(h, append(places(h), g.orders[at].Index))
				if len(g.orders) > 1 && rest != nil && with != nil {
					try([]*group{g, h}, []*group{rest, with})
				}
			}
		}
		for at := range g.orders { // one of its orders leaves
			if rest := b.onSame(g, rid(places(g), at)); len(g.orders) > 1 && rest != nil {
				for _, x := range b.anywhere([]int{g.orders[at].Index}) {
					try([]*group{g}, []*group{rest, x})
				}
			}
		}
	}
	return b.cost < cost
}

// places returns the orders' places in the order file.
func places(g *group) []int {
	var out []int
	for _, o := range g.orders {
		out = append(out, o.Index)
	}
	return out
}

func rid(places []int, at int) []int { return slices.Delete(slices.Clone(places), at, at+1) }

// anywhere returns the orders as a group on each bed that takes them all.
func (b *rebedding) anywhere(orders []int) []*group {
	var list []bedded
	for _, w := range b.of[orders[0]].beds {
		list = append(list, bedded{w, orders})
	}
	return slices.DeleteFunc(b.onEach(list), func(g *group) bool { return g == nil })
}

// onSame returns the orders on the bed of a group; nil where it doesn't take them.
func (b *rebedding) onSame(g *group, orders []int) *group {
	if len(orders) == 0 {
		return nil
	}
	key := g.way(b.rules)
	for _, w := range b.of[orders[0]].beds {
		if w.key == key {
			return b.on(w, orders)
		}
	}
	return nil
}

// on returns the orders as a group on a bed, with its runs; nil where they can't
// be printed there together.
func (b *rebedding) on(w *way, orders []int) *group {
	x := bedded{w, orders}.sorted()
	key := x.key()
	if g, known := b.known[key]; known {
		return g
	}
	b.known[key] = b.planned(x)
	return b.known[key]
}

// onEach is on for several at a time, none of them twice.
func (b *rebedding) onEach(list []bedded) []*group {
	out := make([]*group, len(list))
	var open []int
	for i, x := range list {
		list[i] = x.sorted()
		g, known := b.known[list[i].key()]
		if out[i] = g; !known {
			open = append(open, i)
		}
	}
	onAllCores(len(open), func(k int) { out[open[k]] = b.planned(list[open[k]]) })
	for _, i := range open {
		b.known[list[i].key()] = out[i]
	}
	return out
}

// bedded is orders on a bed.
type bedded struct {
	*way
	orders []int
}

func (x bedded) sorted() bedded {
	x.orders = slices.Sorted(slices.Values(x.orders))
	return x
}

func (x bedded) key() string { return fmt.Sprintf("%p %d", x.way, x.orders) }

// planned returns orders, which rise, as a group on a bed, with its runs; nil where they
// can't be printed there together.
func (b *rebedding) planned(x bedded) *group {
	g := b.unplanned(x.way, x.orders)
	if g == nil {
		return nil
	}
	p, left := g.problem(b.rules)
	if len(left) > 0 {
		return nil
	}
	plan, bounds, err := gang.Solve(b.ctx, p, gang.Limits{Steps: b.steps, Seed: b.rules.Seed})
	if err != nil || len(plan.Runs) == 0 {
		return nil
	}
	g.plan, g.bounds = plan, bounds
	return g
}

// unplanned returns the orders, which rise, as a group on a bed without its runs; nil
// where the bed doesn't take them together.
func (b *rebedding) unplanned(w *way, orders []int) *group {
	f := b.of[orders[0]]
	var lying []*intake.Order
	for i, o := range f.orders {
		if _, mine := slices.BinarySearch(orders, o.Index); mine && w.on[i] != nil {
			lying = append(lying, w.on[i])
		}
	}
	if len(lying) != len(orders) || tears(lying, f.orders, b.rules) {
		return nil
	}
	g, err := newGroup(lying, b.rules)
	if err != nil {
		return nil
	}
	return g
}
