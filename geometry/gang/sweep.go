package gang

import "slices"

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
// their best lengths. Only the grid of single steps proves anything; cells bound
// the rest (cells.go).
type sweep struct {
	c     *core // orders in grid steps
	full  *core
	t     int
	grid  int64
	m     *meter
	vol   int64 // least volume of the orders
	bids  *auction
	tab   *table // nil where it would be too large
	begun map[int64]*placesLeft
	low   int64 // targets below are refuted on this grid
	r     []int64
}

// sweptSum is the sum of lengths that the first grid aims for: fine enough for
// a plan within half a percent of the best.
const sweptSum = 800

// newSweep makes the sweep of t runs on a grid, or nil where it does not know
// all rules or has too much to do.
func newSweep(c *core, t int, grid int64, m *meter) *sweep {
	sub := c
	if grid > 1 {
		sub = c.onGrid(grid)
	}
	if !suitsSweep(sub, t) {
		return nil
	}
	s := &sweep{
		c: sub, full: c, t: t, grid: grid, m: m, vol: load(sub), bids: newAuction(sub, t),
		begun: map[int64]*placesLeft{}, r: make([]int64, t),
	}
	if suitsBox(c, t) {
		s.tab = newTable(sub, t)
	}
	return s
}

// onGrid is the problem in units of grid steps, demands rounded up.
func (c *core) onGrid(grid int64) *core {
	sub := *c
	sub.need = slices.Clone(c.need)
	for i := range sub.need {
		sub.need[i].d = ceilDiv(sub.need[i].d, grid)
	}
	sub.least = ceilDiv(c.least, grid)
	return &sub
}

// mostVectors bounds the lanes of an order in all runs but two.
const mostVectors = 2_000_000

// suitsSweep reports whether sweeps know all rules of the problem and an order
// has not too many choices. Where boxes can settle more than three runs, too many
// lengths would be left to try.
func suitsSweep(c *core, t int) bool {
	lanes, vectors := c.mostLanes(), int64(1)
	for range t - 2 {
		if vectors *= lanes; vectors > mostVectors {
			return false
		}
	}
	return (t == 3 || t > 3 && t <= mostBoxed && !suitsBox(c, t)) && lanes < 1<<laneBits && c.cap < 1<<30 &&
		!c.strict() && !c.capped && !c.whole
}

// mostSettled is the greatest number of length vectors that a sweep is expected
// to get through.
const mostSettled = 1 << 24

// settles reports whether every place of a target ends in a plan or a proof.
func (s *sweep) settles(sum int64) bool {
	n := s.size(sum)
	return s.grid == 1 && s.tab != nil && n > 0 && n <= mostSettled
}

// workPerStep is how many choices an auction looks at in a step.
const workPerStep = 18

// try looks through places of a target and returns the plan of the first one that
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
			return s.withBestLengths(lane), false, false
		}
		p.open = p.open || !known
	}
	return nil, true, !p.open
}

// auctionRounds is enough for most lengths: a third round settles half of those
// that the volume leaves.
const auctionRounds = 12

// lanes returns the lanes of the lengths at hand, or whether it is known that
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

// withBestLengths gives the lanes of the lengths at hand their best lengths.
func (s *sweep) withBestLengths(lane [][]int64) []run {
	runs := s.full.runsOf(lane, s.r)
	for k := range runs {
		runs[k].r *= s.grid
	}
	return s.full.polish(runs, s.m)
}
