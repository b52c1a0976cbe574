package gang

import (
	"cmp"
	"slices"
)

// mostMended is the number of choices that one mending looks at.
const mostMended = 2000

// mend looks for lanes that fit among the choices that an auction left: depth
// first, the smallest orders first, since the great ones have the choices to
// fill what is left, and the cheapest choice first. This is quicker than to fill
// a table, and will do where that would be too large. It picks the choices, or
// reports that the tries were too few or there are none.
func (q *auction) mend() bool {
	copy(q.price, q.best)
	room := int64(0)
	for _, p := range q.price {
		room += p * q.c.cap
	}
	slack := room - q.ask()
	q.rest = q.rest[:0]
	for x := range q.over {
		q.over[x] = -q.c.cap
	}
	for j := range q.pick {
		own := q.all[q.first[j]:q.first[j+1]]
		slices.SortStableFunc(own, func(a, b offer) int { return cmp.Compare(a.loss, b.loss) })
		w := q.need(j).w
		for x := range q.t {
			v := int64(none)
			for _, o := range own {
				v = min(v, w*o.lanes.in(x))
			}
			q.rest = append(q.rest, v)
			q.over[x] += v
		}
	}
	q.work += int64(20 * len(q.all))
	q.tries = mostMended
	return q.mendFrom(0, slack)
}

// mendFrom chooses for the orders from j on, with slack to spare at the prices.
// Capacity counts what the orders before use and the least that the others can.
func (q *auction) mendFrom(j int, slack int64) bool {
	if j == len(q.pick) {
		return true
	}
	w, rest := q.need(j).w, q.rest[j*q.t:j*q.t+q.t]
	for k := q.first[j]; k < q.first[j+1]; k++ {
		left := slack - (q.all[k].loss - q.least[j])
		if q.tries--; left < 0 || q.tries < 0 {
			return false
		}
		q.work++
		l, fits := q.all[k].lanes, true
		for x, v := range rest {
			q.over[x] += w*l.in(x) - v
			fits = fits && q.over[x] <= 0
		}
		if fits && q.mendFrom(j+1, left) {
			q.pick[j] = k
			return true
		}
		for x, v := range rest {
			q.over[x] -= w*l.in(x) - v
		}
	}
	return false
}
