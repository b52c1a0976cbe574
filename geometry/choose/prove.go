package choose

import "math"

// wholeRounds is how often all lengths are looked at; in the other rounds those are
// left out that were worth less than this much of their cost.
const (
	wholeRounds = 6
	promising   = 0.93
)

// How much of the prices that prove the bound is at first in those at which runs are
// looked for: where it begins with none, with those of the same LP with fewer cuts, and
// with those of another case, which has to be raised a little only.
const (
	insideNew  = 0.5
	insideCuts = 0.7
	insideCase = 0.95
)

// solve generates runs until none pays, the bound is near enough or above until, or
// the rounds or the work are spent. Prices are looked for between those that prove the bound,
// of which they have so much at first, and the basis's own, as in gang.Cover.
func (m *master) solve(rounds int, inward, near, until float64, limit int64) {
	for round := 0; round < rounds && m.work < limit && m.t.ctx.Err() == nil; round++ {
		whole := round%wholeRounds == 0
		m.separate(inward)
		found := m.generate(whole)
		if whole {
			m.prove()
			if m.value() < m.bound*near || m.bound > until {
				return
			}
			found = append(found, m.extra...)
			m.extra = m.extra[:0]
		}
		for i := range found {
			m.know(&found[i].cast)
		}
		switch {
		case m.reprice():
			continue
		case whole && inward == 0:
			return
		case whole:
			if inward /= 2; inward < 0.05 {
				inward = 0
			}
		}
		round += wholeRounds - 1 - round%wholeRounds // all are looked at next
	}
}

// separate sets the prices at which runs are looked for.
func (m *master) separate(inward float64) {
	for i, p := range m.price {
		m.sep[i] = math.Max(0, p)
		if m.bound > 0 {
			m.sep[i] += inward * (m.best[i] - m.sep[i])
		}
	}
}

// prove raises the bound to what the prices prove that runs were looked for at.
func (m *master) prove() {
	total := 0.0
	for i, p := range m.sep {
		total += p * m.needs[i]
	}
	if total <= m.bound {
		return
	}
	if worst := m.worst(1, total/math.Max(m.bound, 1), true); total/worst > m.bound {
		m.bound = total / worst
		for i, p := range m.sep {
			m.best[i] = p / worst
		}
	}
}

// restate raises the bound that another LP proved for one with fewer grades, on which
// no run may be worth what it costs at those prices.
func (m *master) restate() {
	copy(m.sep, m.best)
	if worst := m.worst(leastWorth, math.Inf(1), false); worst < 1 {
		m.bound /= worst
		for i := range m.best {
			m.best[i] /= worst
		}
	}
	m.extra = m.extra[:0]
}

// leastWorth is the least that a run is taken to be worth for its cost.
const leastWorth = 0.5

// begin takes over the bound and the prices of another LP of the same orders. This one has
// no other runs than that, and all of its rows but cuts without a price.
func (m *master) begin(o *master) {
	m.bound = o.bound
	for i, cuts := range m.cuts {
		m.best[i] = o.best[i]
		for _, c := range cuts {
			for _, x := range o.cuts[i] {
				if x.is(c) {
					m.best[c.row] = o.best[x.row]
				}
			}
		}
	}
	for x := range o.t.counts { // those of this one begin with them
		m.best[m.count+x] = o.best[o.count+x]
	}
}

// Limits of adding cuts to an LP.
const (
	casesCut  = 2      // times at most that the LP of a case is solved with more of them
	littleWon = 5e-4   // by which they raise the bound at least that more are looked for
	roughly   = 1.001  // how near the LP without most of them is solved
	nearLower = 1.0002 // and with them
)

// lower solves the LP of a task with the rows that matter, and returns the cost
// that no plan undercuts; above until it need not be the greatest. It begins with
// known runs or, of a case, with the LP of the one that it is a part of.
func (t *task) lower(known []cast, from *master, until float64, limit int64) (*master, int64) {
	m, work := start(t, known, from), int64(0)
	near, inward := roughly, insideNew
	if from != nil {
		near, inward = nearLower, insideCase
	}
	for round, before := 0, 0.0; ; round++ {
		m.solve(5000, inward, near, until, limit-work)
		work += m.work
		next, more := m.broken()
		enough := round > 0 && m.bound < before*(1+littleWon) || len(t.counts) > 0 && round == casesCut
		if !more || enough || work >= limit || m.bound > until || t.ctx.Err() != nil {
			m.work = work
			return m, int64(m.bound * (1 - 1e-9))
		}
		before, near = m.bound, nearLower
		if from == nil {
			inward = insideCuts
		}
		x := m.next(t, next)
		x.begin(m)
		m = x
	}
}

// start states the LP of a task without a bound, or with that of another one. On other
// grades no run may be worth what it costs at its prices.
func start(t *task, known []cast, from *master) *master {
	if from == nil {
		return t.relax(known, make([][]cut, len(t.id)))
	}
	cuts, other := from.cuts, len(t.counts) == len(from.t.counts) && t != from.t
	if !other {
		cuts, _ = from.broken()
	}
	m := from.next(t, cuts)
	m.begin(from)
	if other {
		m.restate()
	}
	return m
}
