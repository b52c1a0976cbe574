package gang

// roomTable is the knapsack over the capacities of t runs that a narrower
// keeps: for every capacity used in the first t-1 runs, the least that must be
// used in the last. What every placing of an order takes is taken before, so
// that the table shrinks with the shortlists.
type roomTable struct {
	base     []placing // what each order takes at least, in lanes
	from, to []int16
	rows     []uint64  // capacity used in the first t-2 runs, packed
	ways     []placing // of one order beyond its base, in widths
	left     placing   // capacity for more than the base, in widths
}

// fullRoom marks a state that cannot be reached. Two of them don't overflow.
const fullRoom = 16_000

// roomField is the width of a run's field in a packed row; its top bit guards
// against borrowing.
const roomField = 16

// roomPerStep is how many states are looked at in a step.
const roomPerStep = 200

// fits reports whether some placing from each shortlist keeps the capacity of
// every run.
func (s *narrower) fits(l *level) bool {
	tb, t := &s.room, s.t
	if !s.takeBase(l) {
		return false
	}
	inner, size := tb.shape(t)
	f, g := tb.from[:size], tb.to[:size]
	empty(f)
	f[0] = 0
	work := len(s.all) - l.lists[0].from
	defer func() { s.m.spend(int64(work/roomPerStep + 1)) }()
	for i := range l.lists {
		s.waysOf(l, i)
		if len(tb.ways) == 1 && tb.ways[0] == (placing{}) {
			continue
		}
		empty(g)
		for _, p := range tb.ways {
			work += tb.addPlacing(f, g, &p, t, inner)
		}
		f, g = g, f
	}
	for _, v := range f {
		if v <= tb.left[t-1] {
			return true
		}
	}
	return false
}

func empty(states []int16) {
	for k := range states {
		states[k] = fullRoom
	}
}

// takeBase finds what each order takes at least and what this leaves of the
// capacity; false when it leaves less than nothing.
func (s *narrower) takeBase(l *level) bool {
	tb := &s.room
	for k := range s.t {
		tb.left[k] = int16(s.c.cap)
	}
	tb.base = tb.base[:0]
	for i, list := range l.lists {
		base := s.all[list.from]
		for _, p := range s.all[list.from:list.to] {
			for k := range s.t {
				base[k] = min(base[k], p[k])
			}
		}
		for k := range s.t {
			if tb.left[k] -= base[k] * int16(s.c.need[i].w); tb.left[k] < 0 {
				return false
			}
		}
		tb.base = append(tb.base, base)
	}
	return true
}

// shape lays out the table for the capacity left: rows of the last run but
// one, by the capacities used in the runs before.
func (tb *roomTable) shape(t int) (inner, size int) {
	inner = int(tb.left[t-2]) + 1
	tb.rows = append(tb.rows[:0], 0)
	for k := range t - 2 {
		n := len(tb.rows)
		for v := uint64(1); v <= uint64(tb.left[k]); v++ {
			for r := range n {
				tb.rows = append(tb.rows, tb.rows[r]|v<<(roomField*k))
			}
		}
	}
	size = inner * len(tb.rows)
	if len(tb.from) < size {
		tb.from, tb.to = make([]int16, size), make([]int16, size)
	}
	return inner, size
}

// waysOf lists what order i may take beyond its base, in widths, without ways
// that take as much as another in every run or more than is left.
func (s *narrower) waysOf(l *level, i int) {
	tb := &s.room
	base, w := &tb.base[i], int16(s.c.need[i].w)
	tb.ways = tb.ways[:0]
ways:
	for _, p := range s.all[l.lists[i].from:l.lists[i].to] {
		for k := range s.t {
			if p[k] = (p[k] - base[k]) * w; p[k] > tb.left[k] {
				continue ways
			}
		}
		kept := tb.ways[:0]
		for _, q := range tb.ways {
			if q.within(&p, s.t) {
				continue ways // so nothing kept was within p
			}
			if !p.within(&q, s.t) {
				kept = append(kept, q)
			}
		}
		tb.ways = append(kept, p)
	}
}

// within reports whether p takes no more than q in any run.
func (p *placing) within(q *placing, t int) bool {
	for k := range t {
		if p[k] > q[k] {
			return false
		}
	}
	return true
}

// addPlacing takes one way of an order into g and returns the number of states looked
// at.
func (tb *roomTable) addPlacing(f, g []int16, p *placing, t, inner int) int {
	shift, guard, need := 0, uint64(0), uint64(0)
	stride := 1
	for k := range t - 2 {
		shift += int(p[k]) * stride
		guard |= 1 << (roomField*k + roomField - 1)
		need |= uint64(p[k]) << (roomField * k)
		stride *= int(tb.left[k]) + 1
	}
	in, last := int(p[t-2]), p[t-1]
	work := len(tb.rows) - shift
	for r := shift; r < len(tb.rows); r++ {
		if (tb.rows[r]|guard-need)&guard != guard {
			continue
		}
		work += inner - in
		dst := g[r*inner+in : (r+1)*inner]
		src := f[(r-shift)*inner:][:len(dst)]
		for x, v := range src {
			if v += last; v < dst[x] {
				dst[x] = v
			}
		}
	}
	return work
}
