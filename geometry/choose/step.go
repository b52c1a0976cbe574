package choose

import (
	"math"
	"slices"
)

// step tries one change.
func (a *annealing) step() {
	*a.work += 10
	i := a.rng.IntN(len(a.of))
	k := a.other(i, a.rng)
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
	a.weigh(from, to)
}

// weigh puts the sets tried in the place of two where the heat lets it.
func (a *annealing) weigh(from, to int) {
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
		_, _, left = a.t.shared(a.a, a.work)
	}
	if left > most {
		return
	}
	_, _, right := a.t.shared(a.b, a.work)
	if left+right > most {
		return
	}
	if a.cost += left + right - before; to == len(a.sets) {
		a.sets, a.costs = append(a.sets, nil), append(a.costs, 0)
	}
	a.put(from, a.a, left)
	a.put(to, a.b, right)
	a.drop(from)
}

// put puts orders in the place of a set.
func (a *annealing) put(k int, set []int, cost float64) {
	a.sets[k], a.costs[k] = append(a.sets[k][:0], set...), cost
	for _, i := range set {
		a.of[i] = k
	}
}

// drop removes a set that is empty.
func (a *annealing) drop(k int) {
	if len(a.sets[k]) > 0 {
		return
	}
	last := len(a.sets) - 1
	a.sets[k], a.costs[k] = a.sets[last], a.costs[last]
	for _, i := range a.sets[k] {
		a.of[i] = k
	}
	a.sets, a.costs = a.sets[:last], a.costs[:last]
}

func without(list []int, i int) []int {
	at := slices.Index(list, i)
	list[at] = list[len(list)-1]
	return list[:len(list)-1]
}
