package gang

import "slices"

// improve takes a few runs of the best plan apart and plans their orders anew,
// with the rest held fixed, until the meter stops it. Two runs are planned
// exactly, which also finds that one will do.
func (s *solver) improve() {
	for s.best != nil && !s.m.done() {
		k := min(len(s.best), 2+s.rng.IntN(2))
		s.m.spend(100)
		s.replan(s.pick(k))
		if s.settled() {
			return
		}
	}
}

// pick chooses k runs at random.
func (s *solver) pick(k int) []int {
	at := s.rng.Perm(len(s.best))[:k]
	slices.Sort(at)
	return at
}

// replan plans the chosen runs anew and takes the result if it is cheaper.
func (s *solver) replan(at []int) {
	old := make([]run, len(at))
	for k, t := range at {
		old[k] = s.best[t]
	}
	sub := s.c.without(s.best, at)
	budget := sub.cost(old)
	var better []run
	for t := sub.leastRuns(); t <= len(at); t++ {
		sum := (budget - 1 - sub.b*int64(t)) / sub.a
		if sum < max(sub.volume(), int64(t)*sub.least) || sum < sub.prefixBound(t) {
			continue
		}
		s.m.part(20_000, func() {
			part := solver{c: sub, m: s.m}
			if runs, _ := part.exact(t, sum); runs != nil {
				better, budget = runs, sub.cost(runs)
			}
		})
	}
	if better == nil {
		return
	}
	var runs []run
	for t := range s.best {
		if !slices.Contains(at, t) {
			runs = append(runs, s.best[t])
		}
	}
	for _, r := range better {
		for k := range r.parts {
			r.parts[k].at = sub.id[r.parts[k].at]
		}
		runs = append(runs, r)
	}
	s.offer(runs)
}

// without gives the problem that is left for the runs at when the others stay
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
	sub := &core{cap: c.cap, a: c.a, b: c.b, runs: len(at), share: c.share, least: c.least, most: c.most}
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
	if c.apart != nil {
		sub.apart = make([][]bool, len(sub.id))
		for k, i := range sub.id {
			for _, j := range sub.id {
				sub.apart[k] = append(sub.apart[k], c.apart[i][j])
			}
		}
	}
	sub.finish()
	return sub
}
