package choose

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// Limits of the LP in a dive.
const (
	diveRounds = 24
	diveNear   = 1.002
)

// dive prints a task run by run: each time the run of which the LP has most, or
// one with hardly less, and then the LP of what is left. Known runs are where the
// LP begins.
func (t *task) dive(known []cast, orders int, rng *rand.Rand, work *int64) []cast {
	var out []cast
	mine := t.places(orders)
	for at := t; len(at.id) > 0; {
		if t.ctx.Err() != nil {
			return nil
		}
		m := withCuts(at, known, work)
		c, others := m.most(rng)
		if c.grade == spared {
			return nil
		}
		out = append(out, t.moved([]cast{c}, at, mine)...)
		left := newRest(len(at.id))
		for i := range left.in {
			left.in[i] = true
		}
		left.take(at, &c)
		next := left.of(at)
		known = next.moved(others, at, next.places(orders))
		at = next
	}
	return t.tidy(out)
}

// withCuts solves the LP of a task about, and again with the cuts that are broken then:
// without them it has little parts of great orders in many runs.
func withCuts(t *task, known []cast, work *int64) *master {
	m := t.relax(known, nil)
	m.solve(diveRounds, insideNew, diveNear, math.Inf(1), math.MaxInt64)
	*work += m.work
	cuts, more := m.broken()
	if !more || t.ctx.Err() != nil {
		return m
	}
	x := m.next(t, cuts)
	x.begin(m)
	x.solve(diveRounds, insideNew, diveNear, math.Inf(1), math.MaxInt64)
	*work += x.work
	return x
}

// most returns a run of which the basis has most, and the others.
func (m *master) most(rng *rand.Rand) (cast, []cast) {
	var list []int
	for r, x := range m.x {
		if m.col[r].grade != spared && x > 1e-6 {
			list = append(list, r)
		}
	}
	if len(list) == 0 {
		return cast{grade: spared}, nil
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(m.x[b], m.x[a]) })
	at := 0
	for at+1 < len(list) && m.x[list[at+1]] > m.x[list[0]]-0.15 && rng.IntN(3) == 0 {
		at++
	}
	var others []cast
	for k, r := range list {
		if k != at {
			others = append(others, m.col[r])
		}
	}
	return m.col[list[at]], others
}

// tidy takes away what nobody needs: lanes, and lengths of runs.
func (t *task) tidy(list []cast) []cast {
	made := make([]int64, len(t.id))
	for k := range list {
		for _, p := range list[k].parts {
			made[p.at] += int64(p.lanes) * list[k].r
		}
	}
	for again := true; again; {
		again = false
		for k := range list {
			c := &list[k]
			r := t.grades[c.grade].least
			keep := c.parts[:0:0]
			for _, p := range c.parts {
				others := made[p.at] - int64(p.lanes)*c.r
				open := t.need[c.grade][p.at] - others
				if open <= 0 {
					made[p.at] = others
					continue
				}
				r = max(r, (open+int64(p.lanes)-1)/int64(p.lanes))
				keep = append(keep, p)
			}
			if r = min(r, c.r); len(keep) == len(c.parts) && r == c.r {
				continue
			}
			for _, p := range keep {
				made[p.at] -= int64(p.lanes) * (c.r - r)
			}
			c.parts, c.r, again = keep, r, true
		}
		list = slices.DeleteFunc(list, func(c cast) bool { return len(c.parts) == 0 })
	}
	return list
}
