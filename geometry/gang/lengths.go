package gang

import "math"

// lengthSearch finds run lengths for given lanes: the LP for the least sum,
// then branching on lengths that are not whole.
type lengthSearch struct {
	c     *core
	t     int
	lane  [][]int64 // lanes of order i in run t
	sum   int64     // greatest sum still of interest
	m     *meter
	lp    []*lengthLP
	rows  []branchRow
	coef  []float64
	best  []int64
	whole []int64
	lost  bool // a rounding fault hid lengths: nothing is proved
}

func newLengthSearch(c *core, t int, m *meter) *lengthSearch {
	return &lengthSearch{
		c: c, t: t, m: m, lp: []*lengthLP{newLengthLP(t)}, coef: make([]float64, t), whole: make([]int64, t),
	}
}

// relax solves the LP for lanes and returns the least sum of lengths, or +Inf
// when no lengths keep the limits or the sum exceeds limit.
func (s *lengthSearch) relax(lane [][]int64, limit float64) float64 {
	s.lane = lane
	s.rows = s.rows[:0]
	s.lp[0].reset()
	if !s.solve(s.lp[0], limit) {
		return math.Inf(1)
	}
	return s.lp[0].sum()
}

// shortest returns the whole lengths of the least sum up to sum for lanes, or
// nil.
func (s *lengthSearch) shortest(lane [][]int64, sum int64) []int64 {
	if math.IsInf(s.relax(lane, float64(sum)), 1) {
		return nil
	}
	return s.least(sum)
}

// least returns the whole lengths of the least sum up to sum after relax, or nil.
func (s *lengthSearch) least(sum int64) []int64 {
	s.sum, s.best = sum, nil
	s.split(0)
	return s.best
}

// split branches on the first length that is not whole.
func (s *lengthSearch) split(depth int) {
	if s.m.done() {
		return
	}
	lp := s.lp[depth]
	at := -1
	var sum int64
	for t, v := range lp.r {
		up := math.Ceil(v - 1e-5)
		if up-v > 1e-5 && at < 0 {
			at = t
		}
		s.whole[t] = max(s.c.least, int64(up))
		sum += s.whole[t]
	}
	if sum <= s.sum {
		if s.keeps(s.whole) {
			s.sum, s.best = sum-1, append([]int64(nil), s.whole...)
		} else if at < 0 {
			s.lost = true
		}
	}
	if at < 0 || wholeBound(lp.bound()) > s.sum {
		return
	}
	if len(s.lp) == depth+1 {
		s.lp = append(s.lp, newLengthLP(s.t))
	}
	mark := len(s.rows)
	floor := math.Floor(lp.r[at])
	for _, sign := range []float64{1, -1} {
		r := branchRow{a: make([]float64, s.t), b: floor + 1}
		r.a[at] = sign
		if sign < 0 {
			r.b = -floor
		}
		s.rows = append(s.rows, r)
		s.lp[depth+1].set(s.lp[depth])
		if s.solve(s.lp[depth+1], float64(s.sum)) {
			s.split(depth + 1)
		}
		s.rows = s.rows[:mark]
	}
}

// keeps reports whether lengths r meet every order and its limit.
func (s *lengthSearch) keeps(r []int64) bool {
	for i := range s.c.need {
		made := int64(0)
		for t, p := range s.lane[i] {
			made += p * r[t]
		}
		if made < s.c.need[i].d || made > s.c.need[i].u {
			return false
		}
	}
	return true
}

// solve enters broken rows until none is left; false when there is no solution
// within limit.
func (s *lengthSearch) solve(lp *lengthLP, limit float64) bool {
	work := 0
	defer func() { s.m.spend(int64(work/100 + 1)) }()
	for range 20 + 10*s.t {
		work += (len(s.lane) + len(s.rows) + 3*s.t) * s.t
		worst, rhs, found := 0.0, 0.0, false
		for i, p := range s.lane {
			n := &s.c.need[i]
			made := 0.0
			for t, v := range p {
				made += float64(v) * lp.r[t]
			}
			if v := missed(float64(n.d)-made, float64(n.d)); v > worst {
				worst, rhs, found = v, float64(n.d), true
				for t, v := range p {
					s.coef[t] = float64(v)
				}
			}
			if n.u < none {
				if v := missed(made-float64(n.u), float64(n.u)); v > worst {
					worst, rhs, found = v, -float64(n.u), true
					for t, v := range p {
						s.coef[t] = -float64(v)
					}
				}
			}
		}
		for k := range s.rows {
			r := &s.rows[k]
			if v := missed(lp.short(r.a, r.b), r.b); v > worst {
				worst, rhs, found = v, r.b, true
				copy(s.coef, r.a)
			}
		}
		for t, r := range lp.r {
			least := float64(s.c.least)
			if v := missed(least-r, least); v > worst {
				worst, rhs, found = v, least, true
				clear(s.coef)
				s.coef[t] = 1
			}
		}
		if !found {
			return true
		}
		if !lp.enter(s.coef, rhs, true) || lp.sum() > limit+1e-6 {
			return false
		}
	}
	return true
}
