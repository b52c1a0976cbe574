package gang

import "slices"

// narrower is the exact search over t runs where the ways to place one order
// can be listed. It can be stopped and gone on with.
//
// Each run has an interval of lengths, together a box, and each order a
// shortlist of placings. A target for the sum of lengths leaves little to
// waste: what Capacity*sum exceeds the orders' volume by is all that overs and
// blank lanes may take together. So a placing stays on the list only while
// some lengths in the box make of it no less than the demand and no more than
// the waste allows beside what the other orders lose at least; and a length
// stays in the box only while every order has a placing for it. The one
// narrows the other (constraint propagation with constructive disjunction)
// until nothing changes. Then a table of the runs' capacity shows whether every
// order can have a placing; if so, a length is halved.
//
// The nearer the target comes to the bare volume, the less there is to search:
// this is the tool for the last steps of a proof, which by halving lengths
// alone end in a great many small boxes. Far from the volume the lists are
// long, and boxes do better.
type narrower struct {
	c      *core
	t      int
	m      *meter
	sum    int64 // greatest sum of lengths still of interest
	low    int64 // least sum that is possible
	volume int64 // of all orders, without overs
	all    []placing
	levels []*level
	depth  int // of the level that is looked into; -1 at the end
	room   roomTable
	len    *lengthSearch
	best   []run
	lost   bool // a rounding fault hid a plan: nothing is proved
}

// placing is how many lanes of an order each run takes.
type placing [mostBoxed]int16

// stretch is a part of narrower.all: the shortlist of an order.
type stretch struct{ from, to int }

func (s stretch) len() int { return s.to - s.from }

// level is what one depth of the search knows.
type level struct {
	box      box
	lists    []stretch // by order
	waste    []int64   // least volume that each order loses to overs
	mark     int       // length of narrower.all before this level
	narrowed bool
	branches int // ways to go on, of which next comes next
	next     int
	at       int // run whose length is halved, or order whose placings are tried
	halved   bool
}

// mostListed is the greatest number of placings to start with.
const mostListed = 200_000

// suitsList reports whether the ways to place each order in t runs can be
// listed, and boxes know all rules of the problem. Two runs are left to boxes,
// which settle them at once.
func suitsList(c *core, t int) bool {
	if t < 3 || !suitsBox(c, t) {
		return false
	}
	sum := int64(0)
	for i := range c.need {
		ways := int64(1)
		for range t {
			ways *= c.cap/c.need[i].w + 1
			if sum+ways > mostListed {
				return false
			}
		}
		sum += ways
	}
	return true
}

// newNarrower begins a search for t runs. The caller sees to it that lists fit
// and sets the target, which may fall until the end but not rise.
func newNarrower(c *core, t int, m *meter) *narrower {
	s := &narrower{c: c, t: t, m: m, volume: load(c), low: prefixBound(c, t), len: newLengthSearch(c, t, m)}
	root := s.level(0)
	root.box = c.allLengths(t)
	for i := range c.need {
		n := &c.need[i]
		from := len(s.all)
		s.list(n, 0, placing{})
		root.lists[i] = stretch{from, len(s.all)}
	}
	m.spend(int64(len(s.all) / placingsPerStep))
	return s
}

// list appends all placings of n that agree with p before run k.
func (s *narrower) list(n *need, k int, p placing) {
	if k == s.t {
		if !n.noSplit || !split(p[:]) {
			s.all = append(s.all, p)
		}
		return
	}
	for ; int64(p[k])*n.w <= s.c.cap; p[k]++ {
		s.list(n, k+1, p)
	}
}

// level returns the storage of a depth.
func (s *narrower) level(depth int) *level {
	for len(s.levels) <= depth {
		n := len(s.c.need)
		s.levels = append(s.levels, &level{lists: make([]stretch, n), waste: make([]int64, n)})
	}
	return s.levels[depth]
}

// search goes on to the end or until the meter stops it. It returns the shortest
// plan that it found now, or nil, and whether it came to the end: then no plan
// of t runs (or fewer, where no order must stay whole) is shorter, or as short
// as the target where there is none.
func (s *narrower) search() ([]run, bool) {
	s.best = nil
	for s.depth >= 0 && !s.m.done() {
		l := s.levels[s.depth]
		if !l.narrowed {
			l.narrowed, l.next, l.branches = true, 0, 0
			if s.narrow(l) && s.fits(l) && !s.branch(l) {
				l.narrowed = false
				break
			}
			if s.depth == 0 {
				s.all = slices.Clone(s.all) // the first lists took far more room
			}
		}
		if l.next == l.branches {
			s.all = s.all[:l.mark]
			s.depth--
			continue
		}
		s.enter(l)
	}
	return s.best, s.depth < 0 && !s.lost
}

// branch chooses how to go on from a level, or ends it; false when the meter
// stopped it.
func (s *narrower) branch(l *level) bool {
	order, single := s.shortest(l)
	if single {
		s.leaf(l)
		return !s.m.done()
	}
	// The shorter runs come first, since more lanes of theirs go into an order.
	// Halving by width alone took up to two thirds more steps.
	l.at, l.branches, l.halved = 0, 2, true
	for k := range s.t {
		if l.box.width(k)*int64(k+1) > l.box.width(l.at)*int64(l.at+1) {
			l.at = k
		}
	}
	if l.box.width(l.at) == 0 {
		l.at, l.branches, l.halved = order, l.lists[order].len(), false
	}
	return true
}

// shortest finds the order with the fewest placings to choose from, and
// reports whether no order has a choice.
func (s *narrower) shortest(l *level) (order int, single bool) {
	order, single = 0, true
	for i, list := range l.lists {
		if n := list.len(); n > 1 && (single || n < l.lists[order].len()) {
			order, single = i, false
		}
	}
	return order, single
}

// enter makes the next branch of l the level that is looked into.
func (s *narrower) enter(l *level) {
	s.depth++
	child := s.level(s.depth)
	child.box, child.mark, child.narrowed = l.box, len(s.all), false
	copy(child.lists, l.lists)
	copy(child.waste, l.waste)
	switch {
	case !l.halved:
		at := l.lists[l.at].from + l.next
		child.lists[l.at] = stretch{at, at + 1}
	case l.next == 0:
		child.box.hi[l.at] = l.box.middle(l.at)
	default:
		child.box.lo[l.at] = l.box.middle(l.at) + 1
	}
	l.next++
}

// leaf finds whole lengths for the one placing that each order has left.
func (s *narrower) leaf(l *level) {
	lane := make([][]int64, len(l.lists))
	for i, list := range l.lists {
		for _, p := range s.all[list.from][:s.t] {
			lane[i] = append(lane[i], int64(p))
		}
	}
	if r := s.len.shortest(lane, s.sum); r != nil {
		s.best = s.c.runsOf(lane, r)
		s.sum = totalLength(s.best) - 1
	}
	s.lost = s.lost || s.len.lost
}
