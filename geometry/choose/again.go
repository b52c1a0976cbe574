package choose

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// renewal frees some runs that lie near each other, prints their orders anew, and keeps
// what costs no more, again and again, until the work is spent (P. Shaw, "Using
// constraint programming and local search methods to solve vehicle routing problems",
// CP98, 1998).
type renewal struct {
	t      *task
	orders int // of the problem
	rng    *rand.Rand
	work   *int64
	guide  *guide // nil: none
	// anew prints what is left of the orders of the freed runs; nil where it can't.
	anew func(sub *task, freed []cast) []cast
	most int // runs that are freed at a time
}

// run improves a list until so much work is spent.
func (n *renewal) run(list []cast, limit int64) []cast {
	for *n.work < limit && len(list) > 1 && n.t.ctx.Err() == nil {
		gone, put := n.insertion(list)
		if put == nil {
			gone = n.near(list)
		}
		left := newRest(len(n.t.id))
		var old, next, come []cast
		for k := range list {
			if !slices.Contains(gone, k) {
				next = append(next, list[k])
				left.take(n.t, &list[k])
				continue
			}
			for _, p := range list[k].parts {
				left.in[p.at] = true
			}
			old = append(old, list[k])
		}
		if put != nil {
			come = append(come, cast{put.grade, put.r, slices.Clone(put.parts)})
			left.take(n.t, put)
		}
		sub := left.of(n.t)
		*n.work += int64(500 + 10*len(list) + len(n.t.id)*len(n.t.grades))
		anew := n.anew(sub, old)
		if anew == nil && len(sub.id) > 0 {
			continue
		}
		come = append(come, n.t.moved(anew, sub, n.t.places(n.orders))...)
		if n.t.costs(come) > n.t.costs(old) {
			continue
		}
		if list = append(next, come...); put != nil {
			list = n.t.tidy(list)
		}
	}
	return list
}

// byLP prints a task by the LP of it.
func (n *renewal) byLP(sub *task, freed []cast) []cast {
	known := sub.moved(freed, n.t, sub.places(n.orders))
	return sub.dive(known, n.orders, n.rng, n.work)
}

// near picks runs that lie near each other in length or grade, or share orders.
func (n *renewal) near(list []cast) []int {
	k := min(len(list), 2+n.rng.IntN(n.most-1))
	first := n.first(list)
	if n.rng.IntN(4) == 0 {
		return n.rng.Perm(len(list))[:k]
	}
	size := func(c *cast) float64 { return float64(c.r) * n.t.grades[c.grade].a }
	shared := map[int32]bool{}
	for _, p := range list[first].parts {
		shared[p.at] = true
	}
	far := make([]float64, len(list))
	for j := range list {
		d := math.Abs(math.Log(size(&list[j])/size(&list[first]))) + n.rng.Float64()
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
	out := upTo(len(list))
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(far[a], far[b]) })
	return out[:k]
}

// first draws a run, rather one that wastes much.
func (n *renewal) first(list []cast) int {
	first := n.rng.IntN(len(list))
	if n.guide == nil {
		return first
	}
	most := n.guide.waste(&list[first])
	for range drawnMore {
		k := n.rng.IntN(len(list))
		if v := n.guide.waste(&list[k]); v > most {
			first, most = k, v
		}
	}
	return first
}

// drawnMore is how many more are drawn, of which the one that wastes most is taken.
const drawnMore = 4
