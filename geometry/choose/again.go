package choose

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// again frees some runs that lie near each other, prints their orders anew by the
// LP of these, and keeps what costs no more, until the work is spent (P. Shaw,
// "Using constraint programming and local search methods to solve vehicle routing
// problems", CP98, 1998).
func (t *task) again(list []cast, orders int, rng *rand.Rand, limit int64, work *int64) []cast {
	for *work < limit && len(list) > 1 && t.ctx.Err() == nil {
		gone := t.near(list, rng)
		left := newRest(len(t.id))
		var old []cast
		for _, k := range gone {
			for _, p := range list[k].parts {
				left.in[p.at] = true
			}
			old = append(old, list[k])
		}
		for k := range list {
			if !slices.Contains(gone, k) {
				left.take(t, &list[k])
			}
		}
		sub := left.of(t)
		*work += int64(500 + 10*len(list) + len(t.id)*len(t.grades))
		known := sub.moved(old, t, sub.places(orders))
		come := sub.dive(known, orders, rng, work)
		if come == nil && len(sub.id) > 0 || sub.costs(come) > t.costs(old) {
			continue
		}
		next := make([]cast, 0, len(list))
		for k := range list {
			if !slices.Contains(gone, k) {
				next = append(next, list[k])
			}
		}
		list = append(next, t.moved(come, sub, t.places(orders))...)
	}
	return list
}

// near picks runs that lie near each other in length or grade, or share orders.
func (t *task) near(list []cast, rng *rand.Rand) []int {
	k := min(len(list), 2+rng.IntN(4))
	first := rng.IntN(len(list))
	if rng.IntN(4) == 0 {
		return rng.Perm(len(list))[:k]
	}
	size := func(c *cast) float64 { return float64(c.r) * t.grades[c.grade].a }
	shared := map[int32]bool{}
	for _, p := range list[first].parts {
		shared[p.at] = true
	}
	far := make([]float64, len(list))
	for j := range list {
		d := math.Abs(math.Log(size(&list[j])/size(&list[first]))) + rng.Float64()
		if list[j].grade == list[first].grade {
			d -= 0.3
		}
		for _, p := range list[j].parts {
			if shared[p.at] {
				d -= 0.7
			}
		}
		far[j] = d
	}
	far[first] = math.Inf(-1)
	out := make([]int, len(list))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(far[a], far[b]) })
	return out[:k]
}
