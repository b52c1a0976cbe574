package gang

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// suitsSqueeze reports whether a squeezer knows all rules of the problem.
func suitsSqueeze(c *core) bool {
	return !c.strict() && !c.capped && !c.whole && c.mostLanes()*int64(len(c.need)) < mostSqueezed
}

// mostSqueezed bounds the lanes of a run times the orders.
const mostSqueezed = 1 << 16

// coarsest is how many grid steps the runs are long at least, on average: of a
// divisor that leaves fewer, half is taken.
const coarsest = 16

// squeeze spends what the meter allows on plans of t runs with a sum of lengths of
// at most sum, and returns the shortest that it finds, or nil. It starts from runs,
// which need not serve.
func (c *core) squeeze(t int, sum int64, runs []run, m *meter, rng *rand.Rand) (best []run) {
	grid := divisor(c)
	for grid%2 == 0 && sum < coarsest*int64(t)*grid {
		grid /= 2
	}
	sub := c.onGrid(grid)
	runs = slices.Clone(runs)
	slices.SortStableFunc(runs, func(a, b run) int { return cmp.Compare(b.r, a.r) })
	for k := range runs {
		runs[k].r = ceilDiv(runs[k].r, grid)
	}
	if sum/grid < int64(t)*sub.least {
		return nil
	}
	s := newSqueezer(sub, t, sum/grid, runs, rng)
	lengths := newLengthSearch(c, t, m)
	take := func() bool {
		lane := s.lanes()
		r := lengths.shortest(lane, sum)
		if r != nil {
			best = c.runsOf(lane, r)
			sum = totalLength(best) - 1
		}
		return r != nil
	}
	begun, all := m.used, float64(m.limit-m.used)
	for m.spend(s.work / workPerMove) {
		s.work %= workPerMove
		if !s.cool(float64(m.used-begun) / all) {
			continue
		}
		if !take() || sum/grid < int64(t)*sub.least {
			return best
		}
		s.fit(sum / grid)
	}
	take()
	return best
}

// mostTogether is the greatest number of runs that are squeezed together;
// wholeSteps is the work on them, and someSteps that on some runs of a longer plan.
// Short attempts find more than few long ones.
const (
	mostTogether = 14
	wholeSteps   = 800_000
	someSteps    = 200_000
)

// squeezing is the effort for it: less where the exact searches settle most.
func (s *solver) squeezing() int64 {
	if len(s.best) > 3 {
		return s.effort
	}
	return s.effort / 2
}

// squeeze anneals the best plan: all of it, or some of its runs at a time.
func (s *solver) squeeze() {
	if s.best == nil || !suitsSqueeze(s.c) || mainlySwept(s.c) {
		return
	}
	for tries := 0; tries < mostIdle && !s.m.done() && !s.settled(); tries++ {
		k, steps := len(s.best), int64(wholeSteps)
		if k > mostTogether {
			k, steps = mostTogether/2+s.rng.IntN(mostTogether/2), someSteps
		}
		at := s.rng.Perm(len(s.best))[:k]
		s.m.part(steps, func() {
			if s.squeezed(at) {
				tries = 0
			}
		})
	}
}

// mostIdle is how often some runs are looked at that can't be improved.
const mostIdle = 50

// squeezed anneals the runs at, and reports whether that makes the plan cheaper.
// They may become one fewer or one more.
func (s *solver) squeezed(at []int) bool {
	sub := s.c.without(s.best, at)
	if len(sub.need) == 0 {
		return false
	}
	old, t := int64(0), s.squeezedTo(len(at))
	for _, k := range at {
		old += sub.a*s.best[k].r + sub.b
	}
	sum := (old - 1 - sub.b*int64(t)) / sub.a
	if t < 2 || sum < max(volumeBound(sub), prefixBound(sub, t)) || len(at) == len(s.best) && sum < s.proof.least(t) {
		return false
	}
	begin := *sub
	begin.runs = t
	runs := contiguous(&begin)
	if runs == nil || s.rng.IntN(2) == 0 {
		runs = sub.taken(s.best, at)
	}
	found := sub.squeeze(t, sum, runs, s.m, s.rng)
	return found != nil && s.offer(s.c.replaced(s.best, at, sub, found))
}

// squeezedTo returns how many runs k of the best plan are to become: as many in
// two cases of three, or one more where a set-up costs nothing.
func (s *solver) squeezedTo(k int) int {
	most := s.c.runs - len(s.best) + k
	if s.c.b == 0 {
		return min(k+1, most)
	}
	return min(k+[]int{-1, 0, 0, 0, 0, 1}[s.rng.IntN(6)], most)
}

// taken returns the runs at in the places of c, which is without the others.
func (c *core) taken(all []run, at []int) (runs []run) {
	for _, k := range at {
		one := run{r: all[k].r}
		for _, p := range all[k].parts {
			if x := slices.Index(c.id, p.at); x >= 0 {
				one.parts = append(one.parts, part{x, p.lanes})
			}
		}
		runs = append(runs, one)
	}
	return runs
}
