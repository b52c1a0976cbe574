package choose

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// Limits of annealing. The heat is in parts of what an order costs alone: from less
// heat one search in two ended a per cent dearer, and several short ones end as low as
// a long one.
const (
	hottest, coldest = 0.2, 0.003
	nearby           = 24 // orders to each side, by what they need, that one joins as a rule
)

// anneal shares the orders of a task out over runs in each of which they are whole:
// orders move between runs, change places, and runs join, at first also where that
// costs more (S. Kirkpatrick, C. D. Gelatt, M. P. Vecchi, "Optimization by simulated
// annealing", Science 220, 1983). Each run is on the grade that prints it for least,
// so that a move is worth what it truly saves. It returns nil where some order has no
// run.
func (t *task) anneal(rng *rand.Rand, limit int64, work *int64) []cast {
	a := &annealing{t: t, rng: rng, of: make([]int, len(t.id)), limit: *work + limit, work: work}
	for _, g := range t.grades {
		a.room = max(a.room, int(g.capacity))
	}
	if !a.begin() {
		return nil
	}
	first, from := a.cost/float64(len(a.sets)), *work
	for *work < a.limit && t.ctx.Err() == nil {
		part := float64(*work-from) / float64(limit)
		a.heat = first * hottest * math.Pow(coldest/hottest, part)
		for range 50 {
			a.step()
		}
	}
	var out []cast
	for _, s := range a.best {
		x, _ := t.together(s, work)
		out = append(out, x)
	}
	return out
}

// annealing is one such search.
type annealing struct {
	t     *task
	rng   *rand.Rand
	room  int   // lanes of the widest grade
	near  []int // orders by what they need
	place []int // of each in near
	of    []int // set of each order
	sets  [][]int
	costs []float64 // of the sets
	cost  float64
	best  [][]int
	least float64
	heat  float64
	limit int64
	work  *int64
	a, b  []int // sets that are tried
}

// begin puts each order in a run of its own.
func (a *annealing) begin() bool {
	size := make([]float64, len(a.of))
	for i := range a.of {
		set := []int{i}
		_, v := a.t.together(set, a.work)
		if math.IsInf(v, 1) {
			return false
		}
		a.of[i] = i
		a.sets, a.costs, a.cost = append(a.sets, set), append(a.costs, v), a.cost+v
		a.near, size[i] = append(a.near, i), v
	}
	slices.SortStableFunc(a.near, func(i, k int) int { return cmp.Compare(size[i], size[k]) })
	a.place = make([]int, len(a.near))
	for at, i := range a.near {
		a.place[i] = at
	}
	a.keep()
	return len(a.sets) > 0
}

// keep notes the sets as the best.
func (a *annealing) keep() {
	a.least, a.best = a.cost, a.best[:0]
	for _, s := range a.sets {
		a.best = append(a.best, slices.Clone(s))
	}
}

// other draws an order, mostly one that needs about as much.
func (a *annealing) other(i int) int {
	if n := len(a.near); a.rng.IntN(4) > 0 && n > 2*nearby {
		at := a.place[i] + a.rng.IntN(2*nearby+1) - nearby
		return a.near[min(max(at, 0), n-1)]
	}
	return a.rng.IntN(len(a.of))
}

// step tries one change.
func (a *annealing) step() {
	*a.work += 10
	i := a.rng.IntN(len(a.of))
	k := a.other(i)
	from, to := a.of[i], a.of[k]
	way := a.rng.IntN(20)
	if from == to && way > 0 {
		return
	}
	a.a, a.b = append(a.a[:0], a.sets[from]...), a.b[:0]
	if from != to {
		a.b = append(a.b, a.sets[to]...)
	}
	switch {
	case way == 0: // to a run of its own
		if len(a.a) == 1 {
			return
		}
		to = len(a.sets)
		a.a, a.b = without(a.a, i), append(a.b[:0], i)
	case way == 1:
		a.a, a.b = a.a[:0], append(a.b, a.a...)
	case way < 12:
		a.a, a.b = without(a.a, i), append(a.b, i)
	default:
		a.a, a.b = append(without(a.a, i), k), append(without(a.b, k), i)
	}
	if len(a.a) > a.room || len(a.b) > a.room {
		return
	}
	before := a.costs[from]
	if to < len(a.sets) {
		before += a.costs[to]
	}
	most := before - a.heat*math.Log(1-a.rng.Float64()) // that the two may cost
	left := 0.0
	if len(a.a) > 0 {
		_, left = a.t.together(a.a, a.work)
	}
	if left > most {
		return
	}
	_, right := a.t.together(a.b, a.work)
	if left+right > most {
		return
	}
	a.take(from, to, left, right)
	if a.cost += left + right - before; a.cost < a.least-1e-6 {
		a.keep()
	}
}

// take puts the sets tried in the place of two.
func (a *annealing) take(from, to int, left, right float64) {
	if to == len(a.sets) {
		a.sets, a.costs = append(a.sets, nil), append(a.costs, 0)
	}
	a.sets[from], a.costs[from] = append(a.sets[from][:0], a.a...), left
	a.sets[to], a.costs[to] = append(a.sets[to][:0], a.b...), right
	for _, i := range a.a {
		a.of[i] = from
	}
	for _, i := range a.b {
		a.of[i] = to
	}
	if len(a.a) > 0 {
		return
	}
	last := len(a.sets) - 1
	a.sets[from], a.costs[from] = a.sets[last], a.costs[last]
	for _, i := range a.sets[from] {
		a.of[i] = from
	}
	a.sets, a.costs = a.sets[:last], a.costs[:last]
}

func without(list []int, i int) []int {
	at := slices.Index(list, i)
	list[at] = list[len(list)-1]
	return list[:len(list)-1]
}
