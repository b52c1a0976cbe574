package choose

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// nearby is how many orders to each side, by what they need, one joins as a rule.
const nearby = 24

// nearness is the orders of a task by what they need.
type nearness struct {
	near  []int
	place []int   // of each in near
	alone float64 // what an order costs in a run of its own
}

// newNearness returns nil where some order has no run.
func newNearness(t *task, work *int64) *nearness {
	x := &nearness{place: make([]int, len(t.id))}
	size := make([]float64, len(t.id))
	for i := range t.id {
		k, _, v := t.shared([]int{i}, work)
		if k == spared {
			return nil
		}
		x.near, size[i] = append(x.near, i), v
		x.alone += v / float64(len(t.id))
	}
	slices.SortStableFunc(x.near, func(i, k int) int { return cmp.Compare(size[i], size[k]) })
	for at, i := range x.near {
		x.place[i] = at
	}
	return x
}

// other draws an order, mostly one that needs about as much.
func (x *nearness) other(i int, rng *rand.Rand) int {
	if n := len(x.near); rng.IntN(4) > 0 && n > 2*nearby {
		at := x.place[i] + rng.IntN(2*nearby+1) - nearby
		return x.near[min(max(at, 0), n-1)]
	}
	return rng.IntN(len(x.near))
}

// cooled is the heat when a part of the work is spent.
func (x *nearness) cooled(from, to, part float64) float64 {
	return x.alone * from * math.Pow(to/from, part)
}
