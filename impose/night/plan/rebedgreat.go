package plan

import (
	"cmp"
	"math"
	"slices"

	"quoin/impose/night/intake"
)

// exchange takes for one family after the other what else was found for it, where
// that costs less with the changes.
func (b *rebedding) exchange(all []*family) {
	for again := true; again; {
		again = false
		for _, f := range all {
			for _, come := range [][]*group{f.start, f.groups, f.apart} {
				if !f.complete(come) || f.cost(come, b.rules) < 0 || b.ctx.Err() != nil {
					continue
				}
				next := slices.DeleteFunc(slices.Clone(b.best), func(g *group) bool { return b.of[g.orders[0].Index] == f })
				next = append(next, come...)
				if c := b.price(next); c < b.cost {
					b.best, b.cost, again = next, c, true
				}
			}
		}
	}
}

// move takes groups of a great night to other beds of theirs, one after the other,
// where that saves more in changes than it costs; only such are tried as could.
func (b *rebedding) move() {
	most := int64(0) // that a change costs
	for _, g := range b.best {
		t := &table{press: g.press, p: &Plan{rules: b.rules}}
		for _, h := range b.best {
			if h.press == g.press {
				most = max(most, t.passes(h.set(), g).cost)
			}
		}
	}
	type way struct {
		g, x *group
		more int64
	}
	var could []bedded
	var ways []way
	for _, g := range b.best {
		for _, w := range b.of[g.orders[0].Index].beds {
			if w.key != g.way(b.rules) && b.least(w, g) <= g.plan.Cost+2*most {
				could = append(could, bedded{w, places(g)})
				ways = append(ways, way{g: g})
			}
		}
	}
	for i, x := range b.onEach(could) {
		if x != nil && x.plan.Cost < ways[i].g.plan.Cost+2*most {
			ways[i].x, ways[i].more = x, x.plan.Cost-ways[i].g.plan.Cost
		}
	}
	ways = slices.DeleteFunc(ways, func(w way) bool { return w.x == nil })
	slices.SortStableFunc(ways, func(x, y way) int { return cmp.Compare(x.more, y.more) })
	for _, w := range ways[:min(len(ways), mostMoved)] {
		at := slices.Index(b.best, w.g)
		if at < 0 || b.ctx.Err() != nil { // it has gone elsewhere
			continue
		}
		next := slices.Clone(b.best)
		next[at] = w.x
		if c := b.price(next); c < b.cost {
			b.best, b.cost = next, c
		}
	}
}

// least is what a group costs on a bed by its volume, or all there is where the bed
// doesn't take it.
func (b *rebedding) least(w *way, g *group) int64 {
	f := b.of[g.orders[0].Index]
	sum, inks := int64(0), 0
	capacity, each := w.best.places(b.rules)
	for i, o := range f.orders {
		if !slices.ContainsFunc(g.orders, func(x *intake.Order) bool { return x.Index == o.Index }) {
			continue
		}
		if w.on[i] == nil {
			return math.MaxInt64
		}
		inks = max(inks, len(o.PrintInks))
		sum += w.best.need(w.on[i], each, b.rules)
	}
	if widthsDiffer(w.best) {
		return 0
	}
	frame, once := rate(w.best, inks, b.rules)
	return frame*((sum+capacity-1)/capacity) + once
}
