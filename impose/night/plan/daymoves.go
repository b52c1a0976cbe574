package plan

import (
	"cmp"
	"slices"
	"time"

	"quoin/geometry/gang"
	"quoin/geometry/schedule"
	"quoin/impose/job"
	"quoin/impose/night/intake"
)

// Limits of the work of moving groups for their days.
const (
	moveSteps  = 4000 // of the search for the runs of a group on another bed
	mostMoves  = 6    // beds of a group that are tried, those that cost least
	mostJoined = 8    // groups that one is joined with, those that are most like it
)

// moves takes groups to other beds, and parts them by the days of their orders.
type moves struct {
	*keeping
	beds   *rebedding
	on     map[*job.Press][]*group
	scores map[*job.Press]score
	left   int64 // steps
}

// improve returns the groups after moves that miss fewer days, or by less, or cost less.
func (k *keeping) improve(groups []*group) []*group {
	m := &moves{keeping: k, on: map[*job.Press][]*group{}, scores: map[*job.Press]score{}, left: cores * gang.StepsFor(k.rules.Time) / 4}
	m.beds = &rebedding{ctx: k.ctx, rules: k.rules, of: map[int]*family{}, known: map[beddedKey]*group{}, steps: moveSteps}
	for _, f := range families(k.in.Orders, groups, k.rules) {
		for _, o := range f.orders {
			m.beds.of[o.Index] = f
		}
	}
	for press := range k.clock.tables {
		m.on[press] = slices.DeleteFunc(slices.Concat(k.fixed, groups), func(g *group) bool { return g.press != press })
		m.scores[press] = k.clock.of(press, m.on[press])
	}
	late := func() bool { return m.sum().missed > 0 }
	m.all(late, func(g *group) bool { return m.move(g) || m.part(g) })
	m.all(func() bool { return true }, func(g *group) bool { return m.join(g) || m.move(g) || m.part(g) })
	var out []*group
	for _, t := range presses(m.rules) {
		for _, g := range m.on[t] {
			if !slices.Contains(k.fixed, g) {
				out = append(out, g)
			}
		}
	}
	return out
}

// sum is the score of all presses.
func (m *moves) sum() (sum score) {
	for _, s := range m.scores {
		sum = sum.plus(s)
	}
	return sum
}

// all tries a step with each group, until none is taken any more, or it is of no more
// use.
func (m *moves) all(use func() bool, step func(*group) bool) {
	for again := true; again; {
		again = false
		for _, g := range m.ranked() {
			if m.left <= 0 || m.ctx.Err() != nil || !use() {
				return
			}
			again = m.has(g) && step(g) || again
		}
	}
}

// ranked lists the groups that may move: those of late presses first, and there what
// takes longest.
func (m *moves) ranked() []*group {
	var out []*group
	takes := map[*group]int64{}
	for _, press := range presses(m.rules) {
		for _, g := range m.on[press] {
			if slices.Contains(m.fixed, g) {
				continue
			}
			for _, x := range m.clock.cut(g) {
				takes[g] += x.chore.ticks
			}
			out = append(out, g)
		}
	}
	slices.SortStableFunc(out, func(a, b *group) int {
		return cmp.Or(cmp.Compare(m.scores[b.press].missed, m.scores[a.press].missed), cmp.Compare(takes[b], takes[a]))
	})
	return out
}

// try takes groups in the place of others, where that is better.
func (m *moves) try(gone, come []*group) bool {
	var touched []*job.Press
	for _, g := range slices.Concat(gone, come) {
		if !slices.Contains(touched, g.press) {
			touched = append(touched, g.press)
		}
	}
	before, after := score{}, score{}
	next := map[*job.Press][]*group{}
	for _, press := range touched {
		list := slices.DeleteFunc(slices.Clone(m.on[press]), func(g *group) bool { return slices.Contains(gone, g) })
		for _, g := range come {
			if g.press == press {
				list = append(list, g)
			}
		}
		next[press] = list
		before = before.plus(m.scores[press])
	}
	scores := map[*job.Press]score{}
	for press, list := range next {
		m.left -= int64(20 * len(list))
		scores[press] = m.clock.of(press, list)
		after = after.plus(scores[press])
	}
	if after.compare(before) >= 0 {
		return false
	}
	var all []*group
	for press, list := range m.on {
		if l, touched := next[press]; touched {
			list = l
		}
		all = append(all, list...)
	}
	if len(overdrawn(all)) > 0 {
		return false
	}
	for press, list := range next {
		m.on[press], m.scores[press] = list, scores[press]
	}
	return true
}

// move takes a group to another bed.
func (m *moves) move(g *group) bool {
	for _, x := range m.cheapest(g, places(g)) {
		if m.try([]*group{g}, []*group{x}) {
			return true
		}
	}
	return false
}

// cheapest returns orders of a group on the beds that cost least by their volume, those
// of each press.
func (m *moves) cheapest(g *group, orders []int) (out []*group) {
	f := m.beds.of[g.orders[0].Index]
	type bed struct {
		w    *way
		cost int64
	}
	of := map[*job.Press][]bed{}
	for _, w := range f.beds {
		if w.key == g.way(m.rules) && len(orders) == len(g.orders) {
			continue
		}
		if cost := m.beds.least(w, g); cost < schedule.Never {
			of[w.best.press] = append(of[w.best.press], bed{w, cost})
		}
	}
	for _, press := range presses(m.rules) {
		list := of[press]
		slices.SortStableFunc(list, func(a, b bed) int { return cmp.Compare(a.cost, b.cost) })
		most := max(1, mostMoves/len(presses(m.rules)))
		for _, b := range list[:min(len(list), most)] {
			m.left -= moveSteps
			if x := m.beds.on(b.w, orders); x != nil {
				out = append(out, x)
			}
		}
	}
	return out
}

// part prints what is due later of a group by itself.
func (m *moves) part(g *group) bool {
	var days []time.Time
	for _, o := range g.orders {
		if !slices.Contains(days, o.Due) {
			days = append(days, o.Due)
		}
	}
	if len(days) < 2 {
		return false
	}
	slices.SortFunc(days, dueFirst)
	for _, day := range days[1:] {
		soon, late := byDay(g.orders, day)
		for _, a := range m.cheapest(g, soon) {
			for _, b := range m.cheapest(g, late) {
				if m.try([]*group{g}, []*group{a, b}) {
					return true
				}
			}
		}
	}
	return false
}

// join prints a group with another one, where that costs less and no day is missed for
// it: later orders in lanes that would be blank.
func (m *moves) join(g *group) bool {
	near := m.near(g)
	for _, h := range near[:min(len(near), mostJoined)] {
		all := slices.Concat(places(g), places(h))
		for _, on := range []*group{g, h} {
			m.left -= moveSteps
			if x := m.beds.onSame(on, all); x != nil && m.try([]*group{g, h}, []*group{x}) {
				return true
			}
		}
	}
	return false
}

// near lists the groups that the orders of one might be printed with, what is most
// like it first.
func (m *moves) near(g *group) (near []*group) {
	if g.alone() {
		return nil
	}
	for _, list := range m.on {
		for _, h := range list {
			if h != g && !h.alone() && m.beds.of[h.orders[0].Index] == m.beds.of[g.orders[0].Index] && !slices.Contains(m.fixed, h) {
				near = append(near, h)
			}
		}
	}
	far := func(h *group) int {
		d := others(h.inks, g.inks) + others(g.inks, h.inks)
		if h.way(m.rules) != g.way(m.rules) {
			d += 2
		}
		return d
	}
	slices.SortFunc(near, func(a, b *group) int {
		return cmp.Or(cmp.Compare(far(a), far(b)), cmp.Compare(a.orders[0].Index, b.orders[0].Index))
	})
	return near
}

// has reports whether a group is still among those of its press.
func (m *moves) has(g *group) bool { return slices.Contains(m.on[g.press], g) }

// byDay returns the places of orders that are due before a day, and of the others.
func byDay(orders []*intake.Order, day time.Time) (soon, late []int) {
	for _, o := range orders {
		if dueFirst(o.Due, day) < 0 {
			soon = append(soon, o.Index)
		} else {
			late = append(late, o.Index)
		}
	}
	return soon, late
}

// dueFirst compares days; what is never due is last.
func dueFirst(a, b time.Time) int {
	switch {
	case a.IsZero() && b.IsZero():
		return 0
	case a.IsZero():
		return 1
	case b.IsZero():
		return -1
	}
	return a.Compare(b)
}
