package choose

import (
	"math/rand/v2"
	"slices"
)

// Limits of annealing. The heat is in parts of what an order costs alone: from less
// heat one search in two ended a per cent dearer, and several short ones end as low as
// a long one.
const hottest, coldest = 0.2, 0.003

// anneal shares the orders of a task out over runs in each of which they are whole:
// orders move between runs, change places, and runs join, at first also where that
// costs more (S. Kirkpatrick, C. D. Gelatt, M. P. Vecchi, "Optimization by simulated
// annealing", Science 220, 1983). Each run is on the grade that prints it for least,
// so that a move is worth what it truly saves. It returns nil where some order has no
// run.
func (t *task) anneal(rng *rand.Rand, limit int64, work *int64) []cast {
	a := &annealing{t: t, nearness: newNearness(t, work), rng: rng, work: work, of: upTo(len(t.id))}
	if a.nearness == nil || len(t.id) == 0 {
		return nil
	}
	for _, g := range t.grades {
		a.room = max(a.room, int(g.capacity))
	}
	for i := range t.id {
		_, _, v := t.shared([]int{i}, work)
		a.sets, a.costs, a.cost = append(a.sets, []int{i}), append(a.costs, v), a.cost+v
	}
	return a.run(limit)
}

// annealing is one such search.
type annealing struct {
	*nearness
	t    *task
	rng  *rand.Rand
	work *int64
	room int // lanes of the widest grade
	heat float64

	of    []int   // set of each order
	sets  [][]int // of orders
	costs []float64
	cost  float64
	kept  [][]int // sets of the best
	least float64
	a, b  []int // sets that are tried
}

// run cools down, and returns the best runs.
func (a *annealing) run(limit int64) []cast {
	a.keep()
	for from := *a.work; *a.work < from+limit && a.t.ctx.Err() == nil; {
		a.heat = a.cooled(hottest, coldest, float64(*a.work-from)/float64(limit))
		for range 50 {
			a.step()
		}
		if a.cost < a.least-1e-6 {
			a.keep()
		}
	}
	var out []cast
	for _, s := range a.kept {
		c, _ := a.t.together(s, a.work)
		out = append(out, c)
	}
	return a.t.tidy(out)
}

// keep notes the sets as the best.
func (a *annealing) keep() {
	a.least, a.kept = a.cost, a.kept[:0]
	for _, s := range a.sets {
		a.kept = append(a.kept, slices.Clone(s))
	}
}
