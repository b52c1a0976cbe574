package plan

import (
	"fmt"
	"slices"

	"quoin/geometry/gang"
	"quoin/impose/night/intake"
)

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
	if w := b.bedOf(g, orders); w != nil {
		return b.on(w, orders)
	}
	return nil
}

// bedOf returns the bed of a group for orders; nil where there are none, or theirs have
// not that bed.
func (b *rebedding) bedOf(g *group, orders []int) *way {
	if len(orders) == 0 {
		return nil
	}
	key := g.way(b.rules)
	for _, w := range b.of[orders[0]].beds {
		if w.key == key {
			return w
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

// onEach is on for several at a time.
func (b *rebedding) onEach(list []bedded) []*group {
	keys := make([]beddedKey, len(list))
	var open []int
	for i, x := range list {
		list[i] = x.sorted()
		keys[i] = list[i].key()
		if _, known := b.known[keys[i]]; !known {
			b.known[keys[i]] = nil
			open = append(open, i)
		}
	}
	found := make([]*group, len(open))
	onAllCores(len(open), func(k int) { found[k] = b.planned(list[open[k]]) })
	for k, i := range open {
		b.known[keys[i]] = found[k]
	}
	out := make([]*group, len(list))
	for i, key := range keys {
		out[i] = b.known[key]
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

// beddedKey tells orders on beds apart.
type beddedKey struct {
	way    *way
	orders string
}

func (x bedded) key() beddedKey { return beddedKey{x.way, fmt.Sprint(x.orders)} }

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
	sorter{g, b.rules}.improve(&p)
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
