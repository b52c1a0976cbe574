package choose

import (
	"math/rand/v2"
	"slices"
)

// Limits of annealing with links, which begins with runs that are good already.
const (
	warm, cool = 0.02, 0.006
	mostRunsOf = 3 // runs that an order is in at most
)

// linked is annealing of runs that may print parts of the same orders. Such runs are
// linked: they are of one grade, and their lengths are balanced together, so that a
// change of their lanes is worth what it truly saves.
type linked struct {
	*nearness
	t    *task
	rng  *rand.Rand
	work *int64
	heat float64

	best  []cast
	least float64

	trial
	linking
}

// relink betters known runs so. It returns nil where some order has no run.
func (t *task) relink(known []cast, rng *rand.Rand, limit int64, work *int64) []cast {
	l := &linked{nearness: newNearness(t, work), t: t, rng: rng, work: work}
	if l.nearness == nil || len(known) == 0 {
		return nil
	}
	l.of = make([][]int, len(t.id))
	for k := range known {
		c := &known[k]
		l.runs = append(l.runs, laned{cast{c.grade, c.r, slices.Clone(c.parts)}, t.cost(c)})
		for _, p := range c.parts {
			l.of[p.at] = append(l.of[p.at], k)
		}
		l.cost += l.runs[k].cost
	}
	l.reset()
	l.keep()
	for from := *work; *work < from+limit && t.ctx.Err() == nil; {
		l.heat = l.cooled(warm, cool, float64(*work-from)/float64(limit))
		for range 50 {
			l.step()
		}
		if l.cost < l.least-1e-6 {
			l.keep()
		}
	}
	return t.tidy(l.best)
}

// keep notes the runs as the best.
func (l *linked) keep() {
	l.least, l.best = l.cost, l.best[:0]
	for k := range l.runs {
		c := l.runs[k].cast
		c.parts = slices.Clone(c.parts)
		l.best = append(l.best, c)
	}
}

// place is where an order's lanes stand in a run; -1 where it has none.
func (c *cast) place(order int) int {
	for i := range c.parts {
		if int(c.parts[i].at) == order {
			return i
		}
	}
	return -1
}
