package gang

import "math"

// twoRun searches all plans of two runs.
//
// For given lengths the orders are a knapsack: order i takes p1 lanes of the
// first run and then needs p2 of the second, and a table over the capacity
// used in the first run holds the least that is used in the second. Lengths
// are not walked one by one. An interval of first lengths and one of second
// lengths are tried at once by counting what the greatest lengths would yield
// (and the least, for overs); if even that does not fit, no pair of lengths in
// the box does. Otherwise the box is halved.
type twoRun struct {
	c        *core
	m        *meter
	sum      int64 // greatest sum of lengths still of interest
	from, to []int64
	pairs    [][2]int64
	best     []run
}

// widestTable is the greatest capacity that the knapsack table is made for.
const widestTable = 4096

// twoRunFits reports whether twoRun knows all rules of the problem.
func (c *core) twoRunFits() bool { return c.cap <= widestTable && !c.strict() }

// twoRuns gives the shortest plan of two runs (or one, where that is no longer)
// with a sum of lengths of at most sum, or nil, and whether that is proved.
func (c *core) twoRuns(sum int64, m *meter) ([]run, bool) {
	s := &twoRun{c: c, m: m, sum: sum, from: make([]int64, c.cap+1), to: make([]int64, c.cap+1)}
	longest := c.least
	for i := range c.need {
		longest = max(longest, c.need[i].d)
	}
	if top := min(longest, c.most, sum-c.least); top >= c.least {
		s.box(c.least, top, c.least, top)
	}
	return s.best, !m.done()
}

// box searches the lengths [l1, h1] x [l2, h2] with r1 >= r2.
func (s *twoRun) box(l1, h1, l2, h2 int64) {
	l1, h2 = max(l1, l2), min(h2, h1)
	h1, h2 = min(h1, s.sum-l2), min(h2, s.sum-l1)
	if l1 > h1 || l2 > h2 || s.m.done() || !s.table(l1, h1, l2, h2) {
		return
	}
	switch {
	case l1 == h1 && (l2 == h2 || !s.c.capped):
		s.leaf(l1, l2, h2)
	case l1 == h1 || s.c.capped && h2-l2 > h1-l1:
		mid := l2 + (h2-l2)/2
		s.box(l1, h1, l2, mid)
		s.box(l1, h1, mid+1, h2)
	default:
		mid := l1 + (h1-l1)/2
		s.box(l1, mid, l2, h2)
		s.box(mid+1, h1, l2, h2)
	}
}

// leaf keeps the plan with first length r1 and the least second length in
// [l2, h2], of which h2 is known to fit.
func (s *twoRun) leaf(r1, l2, h2 int64) {
	for l2 < h2 {
		mid := l2 + (h2-l2)/2
		if s.table(r1, r1, mid, mid) {
			h2 = mid
		} else {
			l2 = mid + 1
		}
	}
	s.sum = r1 + h2 - 1
	s.best = withoutEmpty(s.trace(r1, h2))
}

// over marks a state that cannot be reached.
const over = math.MaxInt64 / 4

// table reports whether the orders fit two runs of lengths in [l1, h1] and
// [l2, h2], counting lanes as if demands met the greatest lengths and overs
// the least. It is exact when both intervals are single lengths.
func (s *twoRun) table(l1, h1, l2, h2 int64) bool {
	c := s.c
	clear(s.from) // from[k]: least used in run 2 with at most k used in run 1
	work := 0
	for i := range c.need {
		f, g := s.from, s.to
		for k := range g {
			g[k] = over
		}
		s.pairs = c.pairs(s.pairs[:0], i, l1, h1, l2, h2)
		for _, p := range s.pairs {
			src, dst := f[:len(f)-int(p[0])], g[p[0]:]
			for k, v := range src {
				if v += p[1]; v < dst[k] {
					dst[k] = v
				}
			}
		}
		s.from, s.to = g, f
		work += (len(s.pairs) + 1) * (len(f) + 8)
		if g[c.cap] > c.cap {
			break
		}
	}
	s.m.spend(int64(work/100 + 1))
	return s.from[c.cap] <= c.cap
}

// pairs appends the widths in both runs of every pair of lane numbers of order
// i that no other pair beats in both.
func (c *core) pairs(ps [][2]int64, i int, l1, h1, l2, h2 int64) [][2]int64 {
	n := &c.need[i]
	widest := c.cap / n.w
	last := int64(-1)
	for p1 := int64(0); p1 <= widest; p1++ {
		p2 := int64(0)
		if rest := n.d - p1*h1; rest > 0 {
			p2 = ceilDiv(rest, h2)
		}
		if p2 != last && p2 <= widest && p1*l1+p2*l2 <= n.u && !(n.noSplit && p1 > 0 && p2 > 0) {
			ps = append(ps, [2]int64{p1 * n.w, p2 * n.w})
		}
		if p2 == 0 {
			break
		}
		last = p2
	}
	return ps
}

// trace builds the plan for two lengths that are known to fit.
func (s *twoRun) trace(r1, r2 int64) []run {
	c := s.c
	n := len(c.need)
	// left[i][k]: least used in run 2 by the orders from i on, with at most k
	// used in run 1.
	left := make([][]int64, n+1)
	left[n] = make([]int64, c.cap+1)
	for i := n - 1; i >= 0; i-- {
		left[i] = make([]int64, c.cap+1)
		for k := range left[i] {
			left[i][k] = over
		}
		for _, p := range c.pairs(nil, i, r1, r1, r2, r2) {
			for k := p[0]; k <= c.cap; k++ {
				left[i][k] = min(left[i][k], left[i+1][k-p[0]]+p[1])
			}
		}
	}
	runs := []run{{r: r1}, {r: r2}}
	k := c.cap
	for i := range n {
		for _, p := range c.pairs(nil, i, r1, r1, r2, r2) {
			if p[0] > k || left[i+1][k-p[0]]+p[1] != left[i][k] {
				continue
			}
			k -= p[0]
			for t, w := range p {
				if w > 0 {
					runs[t].parts = append(runs[t].parts, part{i, w / c.need[i].w})
				}
			}
			break
		}
	}
	return runs
}
