package gang

import (
	"cmp"
	"slices"
)

// Bounds says how good a plan can be at best, whatever the search does.
type Bounds struct {
	// Cost is a cost that no plan undercuts.
	Cost int64
	// Length is a total run length that no plan undercuts, in the unit of
	// Order.Demand.
	Length int64
	// Runs is a number of runs that no plan undercuts.
	Runs int
	// GapPercent is by how much the plan's cost exceeds Cost, in percent of
	// Cost.
	GapPercent float64
	// Proved says that the plan is a cheapest one.
	Proved bool
	// Steps is the work done.
	Steps int64
}

// proofs is what is known about the least sum of lengths for each number of
// runs.
type proofs struct {
	c      *core
	length []int64 // by number of runs; 0 where not yet asked
	volume int64
	runs   int   // least number of runs
	cover  int64 // total cost that no plan undercuts
}

func newProofs(c *core) *proofs {
	return &proofs{c: c, volume: volumeBound(c), runs: leastRuns(c)}
}

// least returns the proved least sum of lengths for t runs.
func (p *proofs) least(t int) int64 {
	for len(p.length) <= t {
		p.length = append(p.length, 0)
	}
	if p.length[t] == 0 {
		p.length[t] = max(prefixBound(p.c, t), int64(t)*p.c.least, slotBound(p.c, t))
	}
	return p.length[t]
}

// raise records that t runs need a sum of lengths of at least v. A shorter plan
// of fewer runs would do for t runs as well, as one run can become two of the
// same lanes, unless they were too short or split an order that must stay whole.
func (p *proofs) raise(t int, v int64) {
	for k := t; k >= p.runs; k-- {
		p.least(k)
		p.length[k] = max(p.length[k], v)
		if p.c.least > 1 || p.c.whole {
			break
		}
	}
}

// open lists the numbers of runs up to most that may still undercut cost, the most
// promising first; of two alike the greater one, whose proof serves both.
func (p *proofs) open(cost int64, most int) []int {
	var ts []int
	if p.cover >= cost {
		return nil
	}
	for t := p.runs; t <= min(most, p.last(cost)); t++ {
		if p.c.a*p.least(t)+p.c.b*int64(t) < cost {
			ts = append(ts, t)
		}
	}
	slices.SortFunc(ts, func(x, y int) int {
		return cmp.Or(cmp.Compare(p.c.a*p.least(x)+p.c.b*int64(x), p.c.a*p.least(y)+p.c.b*int64(y)), cmp.Compare(y, x))
	})
	return ts
}

// last is the greatest number of runs that the volume alone does not rule out
// against cost.
func (p *proofs) last(cost int64) int {
	last := int64(p.mostRuns())
	if p.c.b > 0 {
		last = min(last, (cost-1-p.c.a*p.volume)/p.c.b)
	}
	return int(last)
}

// mostRuns is a number of runs beyond which the volume is the only bound.
func (p *proofs) mostRuns() int { return min(p.c.runs, 2*len(p.c.need)+p.runs) }

// bound is the cost that no plan undercuts, given a plan of that cost.
func (p *proofs) bound(cost int64) int64 {
	least := cost
	for t := p.runs; p.cover < cost && t <= p.last(cost); t++ {
		if p.c.a*p.volume+p.c.b*int64(t) >= least {
			break // nor do more runs undercut it
		}
		least = min(least, p.c.a*p.least(t)+p.c.b*int64(t))
	}
	if beyond := p.mostRuns() + 1; beyond <= p.c.runs {
		least = min(least, p.c.a*p.volume+p.c.b*int64(beyond))
	}
	return max(least, min(cost, p.cover))
}
