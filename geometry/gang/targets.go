package gang

// manyLanes reports whether a run holds so many lanes, 16 or more, that lengths
// are better looked at one by one than by boxes, whose tables grow with the
// capacity.
func manyLanes(c *core) bool { return c.mostLanes() >= 16 }

// mainlySwept reports whether sweeps are the search to rely on and the covering
// LP has nothing to say: it knows no limit of runs, and without a cost for them
// full runs of one step meet the volume.
func mainlySwept(c *core) bool {
	return manyLanes(c) && c.b == 0 && c.least == 1 && 2*c.runs < len(c.need) && suitsSweep(c, c.runs)
}

// sweeps gives the sweep of t runs its share of the effort and reports whether
// the searches by boxes are left nothing to do.
func (s *solver) sweeps(t int) bool {
	if s.c.b == 0 && s.c.least == 1 && s.c.runs > mostBoxed {
		return false // many short runs, as the covering LP has them, are better
	}
	share, all := s.effort/2, false
	switch {
	case mainlySwept(s.c):
		share = 4 * s.effort
	case manyLanes(s.c):
		share = 2 * s.effort
	}
	s.m.part(share, func() { all = s.sweep(t) })
	return all && manyLanes(s.c)
}

// sweep looks for better plans of t runs, and refutes targets, by halving the
// gap between what is refuted and what is known. A target that takes too long is
// left for greater ones, which have more plans; the next call goes on with it.
// Half of the effort is for proofs by cells, which know no plans.
// It reports whether it settles every target in the end.
func (s *solver) sweep(t int) bool {
	if s.swept == nil {
		s.swept = map[int]*sweep{}
	}
	w, ok := s.swept[t]
	if !ok {
		w = newSweep(s.c, t, max(1, volumeBound(s.c)/sweptSum), s.m)
		s.swept[t] = w
	}
	if w != nil && manyLanes(s.c) {
		s.m.part((s.m.limit-s.m.used)/2, func() { s.cellsOf(t).raise(s) })
	}
	for w != nil && !s.m.done() {
		if w.pass(s) {
			if w.grid == 1 {
				break
			}
			w = newSweep(s.c, t, w.grid/2, s.m)
			s.swept[t] = w
		}
	}
	return w != nil && w.settles(s.proof.least(t))
}

// cellsOf returns the proofs by cells for t runs, to go on with.
func (s *solver) cellsOf(t int) *cells {
	if s.cells == nil {
		s.cells = map[int]*cells{}
	}
	if s.cells[t] == nil {
		s.cells[t] = newCells(s.c, t, s.m)
	}
	return s.cells[t]
}

// pass tries targets from the middle up until a plan is found or one is refuted,
// and reports whether nothing is left on this grid.
func (w *sweep) pass(s *solver) bool {
	proved, most := s.proof.least(w.t), (s.cost-1-s.c.b*int64(w.t))/s.c.a
	low, high := max(w.low, ceilDiv(proved, w.grid)), most/w.grid
	if proved > most || low > high {
		return true
	}
	for sum := low + (high-low)/2; !w.m.done(); sum += (high - sum + 1) / 2 {
		left := w.m.limit - w.m.used
		if sum < high {
			left /= 2
		}
		again := false
		w.m.part(left, func() {
			runs, through, refuted := w.try(sum)
			if through {
				w.low = sum + 1
			}
			if refuted && w.grid == 1 {
				s.proof.raise(w.t, sum+1)
			}
			again = s.offer(runs) || through
		})
		if again || sum == high {
			return false
		}
	}
	return false
}
