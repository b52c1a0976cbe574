package choose

import (
	"math"
)

// together returns the cheapest run that makes all of the orders whole, and its
// cost; infinite where there is none.
func (t *task) together(set []int, work *int64) (cast, float64) {
	k, r, cost := t.shared(set, work)
	c := cast{grade: k, r: r}
	if k == spared {
		return c, cost
	}
	for _, i := range set {
		c.parts = append(c.parts, part{int32(i), int32((t.need[k][i] + r - 1) / r)})
	}
	return c, cost
}

// shared returns the grade and the length of that run, and its cost.
func (t *task) shared(set []int, work *int64) (at int, length int64, best float64) {
	best, at = math.Inf(1), spared
	*work += int64(len(t.grades) * (1 + len(set)))
	for k := range t.grades {
		g, need := &t.grades[k], t.need[k]
		if int64(len(set)) > g.capacity {
			continue
		}
		sum := int64(0)
		for _, i := range set {
			if need[i] == 0 {
				sum = -1
				break
			}
			sum += need[i]
		}
		if sum < 0 || g.a*float64(max(g.least, (sum+g.capacity-1)/g.capacity))+g.b >= best {
			continue
		}
		*work += int64(4 * len(set))
		r := shortest(need, set, g.capacity, g.least)
		v := g.a*float64(r) + g.b
		for _, i := range set {
			if v >= best {
				break
			}
			n := (need[i] + r - 1) / r
			v += float64(n)*t.lanes(g, i, r, r) + g.sorting(n, r)
		}
		if v < best {
			at, length, best = k, r, v
		}
	}
	return at, length, best
}

// shortest returns the least length of a run in which so many lanes make all of the
// orders whole: a lane more for the one that is longest, while there are lanes.
func shortest(need []int64, set []int, lanes, least int64) int64 {
	var held [mostLanes]int64
	return shareOut(need, set, lanes, least, held[:len(set)])
}

// shareOut does the same, and sets p to the lanes of each.
func shareOut(need []int64, set []int, lanes, least int64, p []int64) int64 {
	for x := range p {
		p[x] = 1
	}
	for left := lanes - int64(len(set)); ; left-- {
		long, at := least, -1
		for x, i := range set {
			if r := (need[i] + p[x] - 1) / p[x]; r > long {
				long, at = r, x
			}
		}
		if at < 0 || left == 0 {
			return long
		}
		p[at]++
	}
}
