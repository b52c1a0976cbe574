package gang

// coarse looks for plans of t runs with a sum of lengths of at most sum on a
// coarse grid of lengths, where the exact search is quick, and then gives
// their lanes the best lengths. Demands that share a divisor, as round numbers
// do, lose nothing on its grid. The caller sees to it that boxes fit.
func (c *core) coarse(t int, sum int64, grid int64, m *meter) []run {
	if c.capped || grid <= 1 {
		return nil
	}
	runs, _ := c.onGrid(grid).boxed(t, sum/grid, m)
	if runs == nil {
		return nil
	}
	for k := range runs {
		runs[k].r *= grid
	}
	return c.polish(runs, m)
}

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

// grids lists the grids worth trying for t runs: the common divisor of the
// demands, then from about a dozen lengths for a run down.
func (c *core) grids(t int) []int64 {
	var all []int64
	if g := divisor(c); g > 1 {
		all = append(all, g)
		if g%2 == 0 {
			all = append(all, g/2)
		}
	}
	for _, parts := range []int64{12, 25, 50, 100} {
		if v := volumeBound(c) / (int64(t) * parts); v > 1 {
			all = append(all, v)
		}
	}
	return all
}

// divisor is the greatest that all demands share.
func divisor(c *core) (g int64) {
	for i := range c.need {
		g = gcd(g, c.need[i].d)
	}
	return g
}
