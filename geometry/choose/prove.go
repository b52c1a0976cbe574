package choose

import (
	"math"
)

// wholeRounds is how often all lengths are looked at; in the other rounds those are
// left out that were worth less than this much of their cost.
const (
	wholeRounds = 6
	promising   = 0.93
)

// inside is how much of the prices that prove the bound is at first in those at which
// runs are looked for.
const inside = 0.5

// solve generates runs until none pays, the bound is near enough or above until, or
// the rounds or the work are spent. Prices are looked for between those that prove the bound
// and the basis's own, as in gang.Cover.
func (m *master) solve(rounds int, near, until float64, limit int64) {
	inward := inside
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
		entered := false
		for i := range found {
			entered = m.enter(&found[i].cast) || entered
		}
		entered = m.spare() || entered
		switch {
		case entered:
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
	for _, p := range m.sep {
		total += p
	}
	if total <= m.bound {
		return
	}
	if worst := m.worst(total / math.Max(m.bound, 1)); total/worst > m.bound {
		m.bound = total / worst
		for i, p := range m.sep {
			m.best[i] = p / worst
		}
	}
}

// halved returns the orders whose rows of the second kind the basis breaks, with
// those that it holds already; any says whether there are new ones.
func (m *master) halved() (out []bool, any bool) {
	whole := make([]float64, len(m.t.id))
	for r, x := range m.x {
		if m.col[r].grade == spared {
			continue
		}
		for _, p := range m.col[r].parts {
			if m.t.made(&m.col[r], p) < 1 {
				x /= 2
				whole[p.at] += x
				x *= 2
			} else {
				whole[p.at] += x
			}
		}
	}
	out = make([]bool, len(whole))
	for i, v := range whole {
		broken := v < 1-1e-4
		out[i] = broken || m.half[i] >= 0
		any = any || broken && m.half[i] < 0
	}
	return out, any
}

// begin takes over the bound and the prices of another LP of the same orders, of all
// whose runs and rows this one has no other runs and no fewer rows.
func (m *master) begin(o *master) {
	m.bound = o.bound
	for i, h := range m.half {
		m.best[i] = o.best[i]
		if k := o.half[i]; h >= 0 && k >= 0 {
			m.best[h] = o.best[k]
		}
	}
}

// lower solves the LP of a task with the rows that matter, and returns the cost
// that no plan undercuts; above until it need not be the greatest. It begins with
// known runs, and with the bound of the LP of a task that has more grades, if any.
func (t *task) lower(known []cast, from *master, until float64, limit int64) (*master, int64) {
	halves, work := make([]bool, len(t.id)), int64(0)
	if from != nil {
		halves, _ = from.halved()
	}
	for {
		m := t.relax(known, halves)
		if from != nil {
			m.begin(from)
		}
		m.solve(5000, nearLower, until, limit-work)
		work += m.work
		next, more := m.halved()
		if !more || work >= limit || m.bound > until || t.ctx.Err() != nil {
			m.work = work
			return m, int64(m.bound * (1 - 1e-9))
		}
		halves, known, from = next, m.basis(), m
	}
}
