package plan

import (
	"context"
	"slices"

	"quoin/impose/night"
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
	known   map[beddedKey]*group
	numbers map[*group]int      // of the groups whose changes were asked for
	changes map[string]int64    // of groups on one press, by their numbers
	pairs   map[[2]*group]int64 // what passes between two
	steps   int64               // of the search for the runs of one group
	spent   int
	best    []*group
	cost    int64
	first   int64 // cost of the groups that it was given
}

// rebed returns the groups of each list as they cost least with the changes between them;
// nil where nothing is gained, or another list comes to the same. Of few orders it returns
// what none costs less than, too, its rolls left out: 0 where that is not known.
func rebed(ctx context.Context, all []*family, lists [][]*group, r *night.Rules) (better [][]*group, least int64) {
	searches := make([]*rebedding, len(lists))
	onAllCores(len(lists), func(i int) { searches[i] = newRebedding(ctx, all, lists[i], r) })
	searches = slices.DeleteFunc(searches, func(b *rebedding) bool { return b == nil })
	for i := 0; i < len(searches); i++ {
		b := searches[i]
		if k := slices.IndexFunc(searches[:i], b.same); k >= 0 {
			searches[k].first = max(searches[k].first, b.first)
			searches = slices.Delete(searches, i, i+1)
			i--
		}
	}
	bounds := make([]int64, len(searches))
	onAllCores(len(searches), func(i int) { bounds[i] = searches[i].run(all) })
	for i, b := range searches {
		if b.cost < b.first && ctx.Err() == nil {
			better = append(better, b.best)
		}
		least = max(least, bounds[i])
	}
	return better, least
}

// newRebedding returns a search from groups, or from what else was found for their
// families; nil where some have no runs.
func newRebedding(ctx context.Context, all []*family, groups []*group, r *night.Rules) *rebedding {
	if len(groups) == 0 || slices.ContainsFunc(groups, func(g *group) bool { return len(g.plan.Runs) == 0 }) {
		return nil
	}
	b := &rebedding{ctx: ctx, rules: r, of: map[int]*family{}, known: map[beddedKey]*group{}, numbers: map[*group]int{}, changes: map[string]int64{}, pairs: map[[2]*group]int64{}, steps: rebedSteps, best: groups}
	for _, f := range all {
		for _, o := range f.orders {
			b.of[o.Index] = f
		}
	}
	b.cost = b.price(groups)
	b.first = b.cost
	b.exchange(all)
	return b
}

// same reports whether two searches go on from the same groups.
func (b *rebedding) same(o *rebedding) bool {
	return b.cost == o.cost && len(b.best) == len(o.best) && !slices.ContainsFunc(b.best, func(g *group) bool { return !slices.Contains(o.best, g) })
}

// run improves the groups. Of few orders it returns what none costs less than.
func (b *rebedding) run(all []*family) int64 {
	if len(b.best) > mostRebed {
		b.move()
		return 0
	}
	for b.step() {
	}
	return b.weigh(all)
}

// step takes the change that saves most, and reports whether one saves anything.
func (b *rebedding) step() bool {
	before, cost := b.best, b.cost
	b.onEach(b.around(before))
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

// around lists the groups less one of their orders, and those that it changes over to
// more by it, all of which a step tries.
func (b *rebedding) around(groups []*group) (list []bedded) {
	add := func(g *group, orders []int) {
		if w := b.bedOf(g, orders); w != nil {
			list = append(list, bedded{w, orders})
		}
	}
	for _, g := range groups {
		for at := range g.orders {
			if len(g.orders) > 1 {
				add(g, rid(places(g), at))
			}
			for _, h := range groups {
				if h != g && b.of[g.orders[0].Index] == b.of[h.orders[0].Index] && !g.alone() && !h.alone() {
					add(h, append(places(h), g.orders[at].Index))
				}
			}
		}
	}
	return list
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
