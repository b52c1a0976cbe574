package choose

import "slices"

// guide is what the LP of a task says of runs, to search where there is most to be won:
// the bound is what all orders are worth at its prices, so that what a plan costs more is
// what its runs cost more than they are worth.
type guide struct {
	t     *task
	m     *master
	found []judged
	seen  map[uint64]bool
}

// judged is a run with what it costs more than it is worth.
type judged struct {
	cast
	waste float64
}

// newGuide returns the guide of a task by an LP of its orders on all of its grades. Runs
// that are worth about what they cost in that LP, or in that of a case, are found already.
func newGuide(t *task, m, of *master) *guide {
	g := &guide{t: t, m: m, seen: map[uint64]bool{}}
	g.note(t.regraded(m.known(), m.t))
	g.note(t.regraded(of.known(), of.t))
	return g
}

// note remembers runs that were found.
func (g *guide) note(list []cast) {
	if g == nil {
		return
	}
	for i := range list {
		c := &list[i]
		if key := c.key(); !g.seen[key] {
			g.seen[key] = true
			g.found = append(g.found, judged{cast{c.grade, c.r, slices.Clone(c.parts)}, g.waste(c)})
		}
	}
}

// waste is what a run costs more than it is worth.
func (g *guide) waste(c *cast) float64 {
	v := g.t.cost(c)
	for _, p := range c.parts {
		made, need := int64(p.lanes)*c.r, g.t.need[c.grade][p.at]
		v -= g.m.best[p.at] * g.t.made(c, p)
		for _, x := range g.m.cuts[p.at] {
			v -= g.m.best[x.row] * x.of(made, need)
		}
	}
	return v
}
