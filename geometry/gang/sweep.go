package gang

import (
	"math"
	"slices"
)

// sweep tries all lengths of t runs with a given sum, each vector by itself.
//
// Where many orders share few runs with many lanes, hardly any lengths come near
// the volume, and they look alike to their neighbours, so a box of lengths says
// little. An auction settles single lengths in microseconds. Longer runs never
// hurt without overs limits, so lengths whose sum is exactly the target stand
// for all shorter ones: three runs of 800 steps are 53 000 vectors, and a target
// just above the volume is refuted in a tenth of a second.
//
// Long runs are swept on a grid: lengths of grid steps, whose lanes then get
// their best lengths. Only the grid of single steps proves anything.
type sweep struct {
	c    *core // orders in grid steps
	full *core
	t    int
	grid int64
	m    *meter
	vol  int64 // least volume of the orders
	bids *auction
	tab  *table // nil where it would be too large
	seen map[int64]*seen
	low  int64 // targets below are refuted on this grid
	r    []int64
}

// seen is how far the places of a target were looked at.
type seen struct {
	n, left, place, step int64
	open                 bool // some place could be neither used nor refuted
}

// sweptSum is the sum of lengths that the first grid aims for: fine enough for
// a plan within half a percent of the best.
const sweptSum = 800

// mostSwept is the greatest number of length vectors of one target.
const mostSwept = 1 << 40

// newSweep makes the sweep of t runs on a grid, or nil where it does not know
// all rules or has too much to do.
func newSweep(c *core, t int, grid int64, m *meter) *sweep {
	sub := c
	if grid > 1 {
		sub = c.onGrid(grid)
	}
	if sub == nil || !sub.sweepFits(t) {
		return nil
	}
	s := &sweep{
		c: sub, full: c, t: t, grid: grid, m: m, bids: newAuction(sub, t),
		seen: map[int64]*seen{}, r: make([]int64, t),
	}
	for i := range sub.need {
		s.vol += sub.need[i].w * sub.need[i].d
	}
	if c.boxFits(t) {
		s.tab = newTable(sub, t)
	}
	return s
}

// onGrid is the problem in units of grid steps, demands rounded up; nil where
// no length keeps the limits.
func (c *core) onGrid(grid int64) *core {
	sub := *c
	sub.need = slices.Clone(c.need)
	for i := range sub.need {
		sub.need[i].d = ceilDiv(sub.need[i].d, grid)
	}
	sub.least = ceilDiv(c.least, grid)
	if c.most < none {
		if sub.most = c.most / grid; sub.most < sub.least {
			return nil
		}
	}
	return &sub
}

// mostVectors bounds the lanes of an order in all runs but two.
const mostVectors = 2_000_000

// sweepFits reports whether sweeps know all rules of the problem and an order
// has not too many choices. Where boxes can settle more than three runs, too many
// lengths would be left to try.
func (c *core) sweepFits(t int) bool {
	lanes, vectors := c.mostLanes(), int64(1)
	for range t - 2 {
		if vectors *= lanes; vectors > mostVectors {
			return false
		}
	}
	return (t == 3 || t > 3 && t <= mostBoxed && !c.boxFits(t)) && lanes < 1<<laneBits && c.cap < 1<<30 &&
		!c.strict() && !c.capped && !c.whole
}

// size is the number of places of a target: the lengths but the first, each at
// most as long as a run of its rank can be. 0 where they are too many.
func (s *sweep) size(sum int64) int64 {
	n := int64(1)
	for k := 1; k < s.t; k++ {
		wide := sum/int64(k+1) - s.c.least + 1
		if wide <= 0 {
			return 0
		}
		if n > mostSwept/wide {
			return 0
		}
		n *= wide
	}
	return n
}

// mostSettled is the greatest number of length vectors that a sweep is expected
// to get through.
const mostSettled = 1 << 24

// settles reports whether every place of a target ends in a plan or a proof.
func (s *sweep) settles(sum int64) bool {
	n := s.size(sum)
	return s.grid == 1 && s.tab != nil && n > 0 && n <= mostSettled
}

// places gives where to go on with a target. The step from place to place meets
// each once and spreads the first ones evenly: it is near the golden section of
// their number and has no divisor in common with it.
func (s *sweep) places(sum int64) *seen {
	p := s.seen[sum]
	if p == nil {
		n := s.size(sum)
		p = &seen{n: n, left: n, step: int64(float64(n)*(math.Sqrt(5)-1)/2) | 1, open: n == 0}
		for n > 0 && gcd(p.step, n) != 1 {
			p.step++
		}
		s.seen[sum] = p
	}
	return p
}

// workPerStep is how many choices an auction looks at in a step.
const workPerStep = 18

// try looks through places of a target and gives the plan of the first one that
// has any, or whether the places are all seen and whether they are refuted.
func (s *sweep) try(sum int64) (runs []run, through, refuted bool) {
	limit := sum*s.c.cap - s.vol
	if limit < 0 {
		return nil, true, true
	}
	p := s.places(sum)
	for ; p.left > 0; p.left-- {
		if s.m.done() {
			return nil, false, false
		}
		ok := s.lengths(p.place, sum)
		p.place = (p.place + p.step) % p.n
		if !ok {
			s.bids.work += 3
			continue
		}
		lane, known := s.lanes(limit)
		s.m.spend(s.bids.work / workPerStep)
		s.bids.work %= workPerStep
		if lane != nil {
			return s.plan(lane), false, false
		}
		p.open = p.open || !known
	}
	return nil, true, !p.open
}

// lengths sets the lengths of a place; false when they are not sorted or keep no
// limit, which another place or none stands for.
func (s *sweep) lengths(place, sum int64) bool {
	r := s.r
	r[0] = sum
	for k := s.t - 1; k > 0; k-- {
		wide := sum/int64(k+1) - s.c.least + 1
		r[k] = s.c.least + place%wide
		place /= wide
		if k+1 < s.t && r[k] < r[k+1] {
			return false
		}
		r[0] -= r[k]
	}
	return r[0] >= r[1] && r[0] <= s.c.most
}

// auctionRounds is enough for most lengths: a third round settles half of those
// that the volume leaves.
const auctionRounds = 12

// lanes gives the lanes of the lengths at hand, or whether it is known that
// there are none.
func (s *sweep) lanes(limit int64) ([][]int64, bool) {
	q := s.bids
	q.work += 10
	if !q.choose(s.r, limit) {
		return nil, len(q.all) < mostOffers
	}
	switch q.settle(auctionRounds) {
	case no:
		return nil, true
	case yes:
		return q.picked(), false
	}
	if q.mend() {
		return q.picked(), false
	}
	if s.tab == nil {
		return nil, false
	}
	s.tab.take(q)
	if s.tab.fill(s.m, q.best) < 0 {
		return nil, true
	}
	return s.tab.lanes(s.r), false
}

// plan gives the lanes of the lengths at hand their best lengths.
func (s *sweep) plan(lane [][]int64) []run {
	runs := s.full.runsOf(lane, s.r)
	for k := range runs {
		runs[k].r *= s.grid
	}
	return s.full.polish(runs, s.m)
}
