package gang

import (
	"math"
	"math/rand/v2"
	"slices"
)

// walk is a large-neighbourhood search: a few runs of the plan are taken apart
// and their orders planned again, with the rest held fixed: exactly, in two or
// three runs, which also finds that one fewer will do. Plans
// that are a little worse are accepted now and then, so that the walk leaves a
// plan that no three runs alone can improve.
type walk struct {
	c     *core
	m     *meter
	rng   *rand.Rand
	runs  []run
	cost  int64
	stale int // moves since the best plan was found or taken up again
}

// improve walks from the best plan until the meter stops it or the plan is
// proved.
func (s *solver) improve() {
	if s.best == nil {
		return
	}
	if s.walk == nil {
		s.walk = &walk{c: s.c, m: s.m, rng: s.rng, cost: noCost}
	}
	w := s.walk
	for !s.m.done() && !s.settled() {
		if w.cost == noCost || w.cost > s.cost && w.stale > 50+20*len(s.best) {
			w.runs, w.cost, w.stale = s.best, s.cost, 0
		}
		w.stale++
		w.move()
		if s.offer(w.runs) {
			w.stale = 0
		}
	}
}

// moveSteps is the work spent on one move: enough to settle most choices of
// two or three runs.
const moveSteps = 30_000

// mostReplanned is the greatest number of runs that are planned exactly in a move;
// four may become three.
const mostReplanned = 3

// move plans some runs again.
func (w *walk) move() {
	k := min(len(w.runs), 2+w.rng.IntN(3))
	if w.rng.IntN(2) == 0 {
		k = min(len(w.runs), 2)
	}
	w.m.spend(100)
	at := w.pick(k)
	sub := w.c.without(w.runs, at)
	var old int64
	for _, t := range at {
		old += sub.a*w.runs[t].r + sub.b
	}
	// A tenth of the moves may lose up to about 1 in 500 of the cost.
	most := old - 1
	if w.rng.IntN(10) == 0 {
		most = old + int64(math.Exp(-4*w.rng.Float64())*float64(w.cost)/500)
	}
	var found []run
	if len(sub.need) > 0 {
		for t := leastRuns(sub); t <= min(k+1, mostReplanned, w.c.runs-len(w.runs)+k); t++ {
			if runs := w.replan(sub, t, most); runs != nil {
				found, most = runs, sub.cost(runs)-1
			}
		}
		if found == nil {
			return
		}
	}
	w.runs = w.c.replaced(w.runs, at, sub, found)
	w.cost = w.c.cost(w.runs)
}

// replan returns up to three runs, t of them, for sub that cost at most most, or nil.
func (w *walk) replan(sub *core, t int, most int64) (runs []run) {
	sum := (most - sub.b*int64(t)) / sub.a
	if sum < max(volumeBound(sub), int64(t)*sub.least) || sum < prefixBound(sub, t) {
		return nil
	}
	w.m.part(moveSteps, func() {
		part := solver{c: sub, m: w.m}
		runs, _ = part.exact(t, sum)
	})
	return runs
}

// replaced returns runs with those of sub in the place of the runs at.
func (c *core) replaced(runs []run, at []int, sub *core, by []run) []run {
	var next []run
	for t := range runs {
		if !slices.Contains(at, t) {
			next = append(next, runs[t])
		}
	}
	for _, r := range by {
		for k := range r.parts {
			r.parts[k].at = sub.id[r.parts[k].at]
		}
		next = append(next, r)
	}
	return next
}

// pick chooses k runs at random.
func (w *walk) pick(k int) []int {
	at := w.rng.Perm(len(w.runs))[:k]
	slices.Sort(at)
	return at
}

// without returns the problem that is left for the runs at when the others stay
// as they are. Its ids are places in c.need.
func (c *core) without(runs []run, at []int) *core {
	made := make([]int64, len(c.need))
	in := make([]bool, len(c.need))
	for t, r := range runs {
		for _, p := range r.parts {
			if slices.Contains(at, t) {
				in[p.at] = true
			} else {
				made[p.at] += p.lanes * r.r
			}
		}
	}
	sub := &core{cap: c.cap, a: c.a, b: c.b, runs: len(at), share: c.share, least: c.least}
	for i, n := range c.need {
		if in[i] && made[i] < n.d {
			n.d -= made[i]
			if n.u < none {
				n.u -= made[i]
			}
			sub.need = append(sub.need, n)
			sub.id = append(sub.id, i)
		}
	}
	if len(sub.need) > 0 {
		sub.finish()
	}
	return sub
}
