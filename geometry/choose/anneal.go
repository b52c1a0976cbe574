package choose

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// Limits of annealing. The heat is in parts of what an order costs alone: from less
// heat one search in two ended a per cent dearer, and several short ones end as low as
// a long one. Runs that are good already are only warmed.
const (
	hottest, coldest = 0.2, 0.003
	warm             = 0.04
	nearby           = 24 // orders to each side, by what they need, that one joins as a rule
)

// anneal shares the orders of a task out over runs in each of which they are whole:
// orders move between runs, change places, and runs join, at first also where that
// costs more (S. Kirkpatrick, C. D. Gelatt, M. P. Vecchi, "Optimization by simulated
// annealing", Science 220, 1983). Each run is on the grade that prints it for least,
// so that a move is worth what it truly saves. It returns nil where some order has no
// run.
func (t *task) anneal(rng *rand.Rand, limit int64, work *int64) []cast {
	a := newAnnealing(t, rng, work)
	if a == nil {
		return nil
	}
	for i := range a.pieces {
		a.of[i], a.sets = i, append(a.sets, []int{i})
	}
	a.ways = whole
	return a.run(hottest, limit)
}

// reheat does the same from known runs, and with orders in pieces: from runs that are
// good already those are found that cutting an order betters, where from none too many
// cuts are tried. It returns nil where it can't begin with those runs.
func (t *task) reheat(known []cast, rng *rand.Rand, limit int64, work *int64) []cast {
	a := newAnnealing(t, rng, work)
	if a == nil || !a.begin(known) {
		return nil
	}
	a.ways = ways
	return a.run(warm, limit)
}

// annealing is one such search.
type annealing struct {
	*items
	rng   *rand.Rand
	work  *int64
	room  int     // lanes of the widest grade
	near  []int   // orders by what they need
	place []int   // of each in near
	alone float64 // what an order costs in a run of its own
	ways  int     // that are tried
	heat  float64

	of    []int   // set of each item
	sets  [][]int // of items
	on    []int   // grade of each set
	costs []float64
	cost  float64
	best  *items
	kept  [][]int // sets of the best
	least float64
	a, b  []int // sets that are tried
}

// newAnnealing returns a search without sets; nil where some order has no run.
func newAnnealing(t *task, rng *rand.Rand, work *int64) *annealing {
	a := &annealing{items: newItems(t), rng: rng, work: work}
	for _, g := range t.grades {
		a.room = max(a.room, int(g.capacity))
	}
	size := make([]float64, len(a.pieces))
	for i := range a.pieces {
		k, _, v := t.shared([]int{i}, work)
		if k == spared {
			return nil
		}
		a.near, size[i] = append(a.near, i), v
		a.alone += v / float64(len(a.pieces))
	}
	slices.SortStableFunc(a.near, func(i, k int) int { return cmp.Compare(size[i], size[k]) })
	a.of, a.place = make([]int, len(a.owner)), make([]int, len(a.near))
	for at, i := range a.near {
		a.place[i] = at
	}
	return a
}

// run cools down from some heat, and returns the best runs.
func (a *annealing) run(hottest float64, limit int64) []cast {
	for _, set := range a.sets {
		k, _, v := a.t.shared(set, a.work)
		if k == spared {
			return nil
		}
		a.on, a.costs, a.cost = append(a.on, k), append(a.costs, v), a.cost+v
	}
	if len(a.sets) == 0 {
		return nil
	}
	a.keep()
	for from := *a.work; *a.work < from+limit && a.t.ctx.Err() == nil; {
		part := float64(*a.work-from) / float64(limit)
		a.heat = a.alone * hottest * math.Pow(coldest/hottest, part)
		for range 50 {
			a.step()
		}
		if a.cost < a.least-1e-6 {
			a.keep()
		}
	}
	return a.whole.tidy(a.best.casts(a.kept, a.work))
}

// keep notes the sets as the best.
func (a *annealing) keep() {
	a.least, a.best, a.kept = a.cost, a.items.clone(), a.kept[:0]
	for _, s := range a.sets {
		a.kept = append(a.kept, slices.Clone(s))
	}
}

// other draws an order, mostly one that needs about as much.
func (a *annealing) other(i int) int {
	if n := len(a.near); a.rng.IntN(4) > 0 && n > 2*nearby {
		at := a.place[i] + a.rng.IntN(2*nearby+1) - nearby
		return a.near[min(max(at, 0), n-1)]
	}
	return a.rng.IntN(len(a.pieces))
}

// piece draws one of an order's.
func (a *annealing) piece(order int) int {
	list := a.pieces[order]
	return list[a.rng.IntN(len(list))]
}
