package gang

// oneByOne plans every order in runs of its own, by the exact search. It is the
// plan of last resort, for limits of overs and lengths so tight that blocks of
// orders have no length in common; nil when some order takes more runs than
// that search knows, or the steps are too few.
func (c *core) oneByOne(m *meter) []run {
	var all []run
	for i, n := range c.need {
		sub := &core{
			need: []need{n}, id: []int{i}, cap: c.cap, a: c.a, b: c.b, runs: c.runs,
			share: c.share, least: c.least,
		}
		sub.finish()
		alone := solver{c: sub, m: m}
		var own []run
		for t := sub.leastRuns(); t <= mostBranched && own == nil; t++ {
			own, _ = alone.exact(t, int64(t)*max(c.least, n.d))
		}
		if own == nil {
			return nil
		}
		for _, r := range own {
			all = append(all, run{r: r.r, parts: []part{{i, r.parts[0].lanes}}})
		}
	}
	return all
}
