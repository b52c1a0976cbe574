package gang

// placingsPerStep is how many placings are listed or judged in a step.
const placingsPerStep = 2

// narrow drops placings and lengths of l in turn until nothing changes; false
// when an order has no placing left or the box no lengths. The lists that stay
// stand in s.all from l.mark on.
func (s *narrower) narrow(l *level) bool {
	judged := 0
	defer func() { s.m.spend(int64(judged/placingsPerStep + 1)) }()
	for again := true; again; {
		was := l.box
		if !s.tighten(l) {
			return false
		}
		again = false
		for i := range l.lists {
			before := l.lists[i].len()
			judged += before
			if !s.judge(l, i) {
				return false
			}
			again = again || l.lists[i].len() < before
		}
		again = again || l.box != was
	}
	s.pack(l)
	return true
}

// pack moves the lists of l, which the last round has left one after the other
// at the end of s.all, to where those of the rounds before began.
func (s *narrower) pack(l *level) {
	by := l.lists[0].from - l.mark
	s.all = s.all[:l.mark+copy(s.all[l.mark:], s.all[l.lists[0].from:])]
	for i := range l.lists {
		l.lists[i].from -= by
		l.lists[i].to -= by
	}
}

// lost is the least volume that goes to overs.
func (l *level) lost() int64 {
	var sum int64
	for _, v := range l.waste {
		sum += v
	}
	return sum
}

// leastSum is the least sum of lengths that yields the volume and its waste.
func (s *narrower) leastSum(l *level) int64 {
	return max(s.low, ceilDiv(s.volume+l.lost(), s.c.cap))
}

// tighten narrows the box to sorted lengths with a sum between the least and
// the target; false when there are none.
func (s *narrower) tighten(l *level) bool {
	b, t, least := &l.box, s.t, s.leastSum(l)
	for k := t - 2; k >= 0; k-- {
		b.lo[k] = max(b.lo[k], b.lo[k+1])
	}
	for k := 1; k < t; k++ {
		b.hi[k] = min(b.hi[k], b.hi[k-1])
	}
	lo, hi := b.sums(t)
	if lo > s.sum || hi < least {
		return false
	}
	tail := lo // least sum of the runs k, k+1, ...
	for k := range t {
		tail -= b.lo[k]
		b.lo[k], b.hi[k] = max(b.lo[k], least-hi+b.hi[k]), min(b.hi[k], s.sum-lo+b.lo[k], (s.sum-tail)/int64(k+1))
		if b.lo[k] > b.hi[k] {
			return false
		}
	}
	return true
}

// judge drops the placings of order i that no lengths in the box make worth
// while, and the lengths for which no placing stays; false when nothing stays.
func (s *narrower) judge(l *level, i int) bool {
	n := &s.c.need[i]
	lo, hi := l.box.sums(s.t)
	up, down := s.sum-lo, max(0, s.leastSum(l)-lo)
	spare := s.c.cap*min(s.sum, hi) - s.volume - l.lost() + l.waste[i]
	if up < 0 || spare < 0 {
		return false
	}
	most := min(n.u, n.d+spare/n.w)
	waste := int64(none)
	hull := box{lo: l.box.hi, hi: l.box.lo}
	from := len(s.all)
	for q := l.lists[i].from; q < l.lists[i].to; q++ {
		p := s.all[q] // a copy: s.all grows
		made, could := l.box.least(&p, s.t, down), l.box.greatest(&p, s.t, up)
		if made > most || could < n.d || s.idle(l, n, p, made, down) {
			continue
		}
		b := l.box
		if !b.meet(&p, s.t, n.d, most) {
			continue
		}
		for k := range s.t {
			hull.lo[k], hull.hi[k] = min(hull.lo[k], b.lo[k]), max(hull.hi[k], b.hi[k])
		}
		waste = min(waste, n.w*max(0, made-n.d))
		s.all = append(s.all, p)
	}
	l.lists[i] = stretch{from, len(s.all)}
	l.box, l.waste[i] = hull, waste
	return from < len(s.all)
}

// idle reports whether some lane of p can be spared at all lengths in the box,
// which make at least made of p.
func (s *narrower) idle(l *level, n *need, p placing, made, down int64) bool {
	for k := range s.t {
		if p[k] == 0 || made-l.box.lo[k] < n.d {
			continue
		}
		p[k]--
		if l.box.least(&p, s.t, down) >= n.d {
			return true
		}
		p[k]++
	}
	return false
}
