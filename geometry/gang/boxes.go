package gang

// boxes searches all plans of t runs by their lengths.
//
// For given lengths the orders are a knapsack: an order takes some lanes of
// each run, and a table over the capacity used in the first t-1 runs holds the
// least that is used in the last. Lengths are not walked one by one. A box of
// lengths, an interval for each run, is tried at once by counting what the
// greatest lengths would yield (and the least, for overs); if even that does
// not fit, no lengths in the box do. Otherwise the box is halved.
type boxes struct {
	c    *core
	t    int
	m    *meter
	sum  int64 // greatest sum of lengths still of interest
	low  int64 // least sum that is possible
	tab  *table
	best []run
}

// mostBoxed is the greatest number of runs that boxes are used for.
const mostBoxed = 6

// suitsBox reports whether boxes know all rules of the problem and the table
// for t runs is of a fair size.
func suitsBox(c *core, t int) bool {
	states := int64(1)
	for range t - 1 {
		if states *= c.cap + 1; states > widestTable {
			return false
		}
	}
	return t <= mostBoxed && !c.strict()
}

// boxed returns the shortest plan of t runs (or fewer, where that is no longer)
// with a sum of lengths of at most sum, or nil, and whether that is proved.
func (c *core) boxed(t int, sum int64, m *meter) ([]run, bool) {
	s := newBoxes(c, t, sum, m)
	s.start()
	return s.best, !m.done()
}

func newBoxes(c *core, t int, sum int64, m *meter) *boxes {
	return &boxes{c: c, t: t, m: m, sum: sum, low: prefixBound(c, t), tab: newTable(c, t)}
}

func (s *boxes) start() {
	b := s.c.allLengths(s.t)
	s.enter(b, s.spare(&b))
}

// tighten narrows b to sorted lengths whose sum is within the target and
// yields the volume; false when none are left.
func (s *boxes) tighten(b *box) bool {
	if s.sum < s.low {
		return false
	}
	for k := s.t - 2; k >= 0; k-- {
		b.lo[k] = max(b.lo[k], b.lo[k+1])
	}
	var lo, hi int64
	for k := range s.t {
		lo += b.lo[k]
	}
	tail := lo // least sum of the runs k, k+1, ...
	for k := range s.t {
		b.hi[k] = min(b.hi[k], s.sum-lo+b.lo[k])
		tail -= b.lo[k]
		b.hi[k] = min(b.hi[k], (s.sum-tail)/int64(k+1))
		if k > 0 {
			b.hi[k] = min(b.hi[k], b.hi[k-1])
		}
		if b.lo[k] > b.hi[k] {
			return false
		}
		hi += b.hi[k]
	}
	return hi >= s.low
}

// search looks into a box that fits.
func (s *boxes) search(b box) {
	// Without overs limits a greater last length only helps: it is never
	// split, but set to what the target leaves for it.
	free := s.t
	if !s.c.capped {
		free--
	}
	widest := 0
	for k := range free {
		if b.width(k) > b.width(widest) {
			widest = k
		}
	}
	if free == 0 || b.width(widest) == 0 {
		s.leaf(b)
		return
	}
	low, high := b, b
	low.hi[widest] = b.middle(widest)
	high.lo[widest] = low.hi[widest] + 1
	l, h := s.spare(&low), s.spare(&high)
	if l >= h {
		s.enter(low, l)
		s.enter(high, h)
	} else {
		s.enter(high, h)
		s.enter(low, l)
	}
}

// spare narrows the box and returns the capacity that it leaves in the last run,
// negative when no plan lies in the box.
func (s *boxes) spare(b *box) int64 {
	if s.m.done() || !s.tighten(b) {
		return -1
	}
	return s.tab.spare(s.m, b.lo[:s.t], b.hi[:s.t])
}

// enter searches a box with capacity to spare, which is counted again if the
// target fell in between.
func (s *boxes) enter(b box, spare int64) {
	was := b
	if spare < 0 || s.m.done() || !s.tighten(&b) {
		return
	}
	if b != was && s.spare(&b) < 0 {
		return
	}
	s.search(b)
}

// leaf keeps the plan of a box that has one length for each run but the last,
// of which the greatest is known to fit.
func (s *boxes) leaf(b box) {
	r := b.hi
	last := s.t - 1
	for lo := b.lo[last]; lo < r[last]; {
		try := r
		try[last] = lo + (r[last]-lo)/2
		if s.tab.spare(s.m, try[:s.t], try[:s.t]) >= 0 {
			r = try
		} else {
			lo = try[last] + 1
		}
	}
	lane := s.tab.lanes(r[:s.t])
	s.best = s.c.runsOf(lane, r[:s.t])
	s.sum = totalLength(s.best) - 1
}
