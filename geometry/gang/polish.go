package gang

// polish gives the lanes of runs their best lengths.
func (c *core) polish(runs []run, m *meter) []run {
	lane := make([][]int64, len(c.need))
	for i := range lane {
		lane[i] = make([]int64, len(runs))
	}
	for t, r := range runs {
		for _, p := range r.parts {
			lane[p.at][t] = p.lanes
		}
	}
	s := newLengthSearch(c, len(runs), m)
	sum := totalLength(runs)
	if s.relax(lane, float64(sum)); wholeBound(s.lp[0].bound()) > sum-1 {
		return runs
	}
	if r := s.least(sum - 1); r != nil {
		return c.runsOf(lane, r)
	}
	return runs
}

// divisor is the greatest that all demands share.
func divisor(c *core) (g int64) {
	for i := range c.need {
		g = gcd(g, c.need[i].d)
	}
	return g
}
