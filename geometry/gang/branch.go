package gang

// brancher is the exact search over the lanes of a fixed number of runs.
//
// Orders are placed one after the other, the greatest first, lane by lane in
// runs of falling length. The lengths stay free: what is known of them is a
// set of rows in an LP. Before a lane is added to order i with lanes q so far,
// "q.R <= d_i - 1" becomes a row, since a plan with a lane to spare has a
// smaller twin; when the order is closed, "q.R >= d_i". So every branch narrows
// the lengths, and a branch ends when the LP shows that their sum exceeds the
// target. The orders not yet placed enter by the prefix rows over the capacity
// that is left. Of two alike orders the greater one gets the greater yield,
// because they could swap their lanes.
type brancher struct {
	c    *core
	t    int
	sum  int64 // greatest sum of lengths still of interest
	m    *meter
	lane [][]int64 // lanes of order i in run t
	left []int64   // capacity left in run t
	held []int     // orders in run t
	tail []int64   // width of the orders from i on, one lane each
	lps  []*lengthLP
	rows []branchRow
	row  []float64
	diff []int64
	len  *lengthSearch
	best []run
	lost bool // a rounding fault hid a plan: nothing is proved
}

type branchRow struct {
	a []float64
	b float64
}

// branch returns the shortest plan of at most t runs (exactly t, where a least
// run length is set) with a sum of lengths of at most sum, or nil, and whether
// that is proved.
func (c *core) branch(t int, sum int64, m *meter) ([]run, bool) {
	b := newBrancher(c, t)
	b.sum, b.m, b.len = sum, m, newLengthSearch(c, t, m)
	b.held, b.diff = make([]int, t), make([]int64, t)
	for range c.need {
		b.lane = append(b.lane, make([]int64, t))
	}
	if c.least > 1 {
		unit := make([]int64, t)
		unit[t-1] = 1
		b.push(unit, c.least, 1)
	}
	if b.solve(b.lp(0), 0, false) {
		b.place(0, 0)
	}
	return b.best, !b.lost && !m.done()
}

// newBrancher returns what is known of t runs before any order is placed.
func newBrancher(c *core, t int) *brancher {
	n := len(c.need)
	b := &brancher{c: c, t: t, left: make([]int64, t), tail: make([]int64, n+1), row: make([]float64, t)}
	for i := n - 1; i >= 0; i-- {
		b.tail[i] = b.tail[i+1] + c.need[i].w
	}
	for i := range b.left {
		b.left[i] = c.cap
	}
	return b
}

// lp returns the LP of a depth.
func (b *brancher) lp(depth int) *lengthLP {
	for len(b.lps) <= depth {
		b.lps = append(b.lps, newLengthLP(b.t))
	}
	return b.lps[depth]
}

// push adds the row sign*p.R >= sign*v.
func (b *brancher) push(p []int64, v int64, sign float64) {
	if len(b.rows) == cap(b.rows) {
		b.rows = append(b.rows, branchRow{})[:len(b.rows)]
	}
	b.rows = b.rows[:len(b.rows)+1]
	r := &b.rows[len(b.rows)-1]
	if r.a == nil {
		r.a = make([]float64, b.t)
	}
	meanRow(r.a, p)
	r.b = sign * float64(v)
	if sign < 0 {
		for s := range r.a {
			r.a[s] = -r.a[s]
		}
	}
}

// child solves the rows from rows[from:] on top of the LP of a depth, for the
// orders from i on, and reports whether the target is still in reach.
func (b *brancher) child(depth, i int, open bool) bool {
	next := b.lp(depth + 1)
	next.set(b.lps[depth])
	return b.solve(next, i, open)
}

// solve enters broken rows until none is left, and reports whether lengths
// with a sum within the target may remain. With open set, order i is partly
// placed and may still grow.
func (b *brancher) solve(lp *lengthLP, i int, open bool) bool {
	work := 0
	defer func() { b.m.spend(int64(work/100 + 1)) }()
	for range 50 { // any basis proves a bound, so stopping early is safe
		work += 40 + (len(b.rows)+len(b.c.need)-i+2*b.t)*b.t
		a, rhs, real := b.broken(lp, i, open)
		if a == nil {
			break
		}
		if !lp.enter(a, rhs, real) {
			return false
		}
		if wholeBound(lp.bound()) > b.sum {
			return false
		}
	}
	return true
}

// broken finds the row that the current lengths break most.
func (b *brancher) broken(lp *lengthLP, i int, open bool) ([]float64, float64, bool) {
	worst := 0.0
	var row []float64
	var rhs float64
	real := true
	for k := range b.rows {
		r := &b.rows[k]
		if v := missed(lp.short(r.a, r.b), r.b); v > worst {
			worst, row, rhs = v, r.a, r.b
		}
	}
	if m, v := b.brokenPrefix(lp, i, open, worst); m >= 0 {
		worst, row = v, b.row
		rhs = b.prefix(m, i, open)
	}
	for s, z := range lp.r {
		if v := missed(-z, 0); v > worst {
			worst, row, rhs, real = v, b.row, 0, false
			clear(b.row)
			b.row[s] = 1
		}
	}
	return row, rhs, real
}

// brokenPrefix finds the prefix of the orders from i on whose row is broken by
// more than worst.
func (b *brancher) brokenPrefix(lp *lengthLP, i int, open bool, worst float64) (int, float64) {
	n := len(b.c.need)
	total := int64(0)
	for _, l := range b.left {
		total += l
	}
	var volume int64
	found := -1
	held := 0.0 // what the open order already gets, in volume
	if open {
		q := int64(0)
		for s, z := range lp.r {
			q += b.lane[i][s]
			held += float64(q*b.c.need[i].w) / float64(s+1) * z
		}
	}
	for m := i; m < n; m++ {
		volume += b.c.need[m].w * b.c.need[m].d
		room := total - b.tail[m+1]
		v := float64(volume) - held
		prefix := int64(0)
		for s, z := range lp.r {
			prefix += b.left[s]
			v -= float64(min(prefix, room)) / float64(s+1) * z
		}
		if v = missed(v, float64(volume)); v > worst {
			found, worst = m, v
		}
	}
	return found, worst
}

// prefix writes the row of the orders i..m into b.row and returns its right
// side.
func (b *brancher) prefix(m, i int, open bool) float64 {
	total, volume := int64(0), int64(0)
	for _, l := range b.left {
		total += l
	}
	for k := i; k <= m; k++ {
		volume += b.c.need[k].w * b.c.need[k].d
	}
	room := total - b.tail[m+1]
	prefix, q := int64(0), int64(0)
	for s := range b.row {
		prefix += b.left[s]
		if open {
			q += b.lane[i][s] * b.c.need[i].w
		}
		b.row[s] = float64(min(prefix, room)+q) / float64(s+1)
	}
	return float64(volume)
}

// place puts order i into runs; depth counts the LPs in use.
func (b *brancher) place(i, depth int) {
	if i == len(b.c.need) {
		b.leaf()
		return
	}
	b.grow(i, 0, depth)
}

// grow closes order i as it is, or gives it one more lane in run t or later.
func (b *brancher) grow(i, t, depth int) {
	if b.m.done() {
		return
	}
	n := &b.c.need[i]
	q := b.lane[i]
	mark := len(b.rows)
	first := true
	for _, v := range q {
		first = first && v == 0
	}
	if !first {
		b.push(q, n.d, 1)
		if n.u < none {
			b.push(q, n.u, -1)
		}
		if i > 0 && b.c.alike(i-1, i) {
			for s := range q {
				b.diff[s] = b.lane[i-1][s] - q[s]
			}
			b.push(b.diff, 0, 1)
		}
		if b.child(depth, i+1, false) {
			b.place(i+1, depth+1)
		}
		b.rows = b.rows[:mark]
		b.push(q, n.d-1, -1)
		ok := b.child(depth, i, true)
		defer func() { b.rows = b.rows[:mark] }()
		if !ok {
			return
		}
		depth++
	}
	total := int64(0)
	for _, l := range b.left {
		total += l
	}
	if total-n.w < b.tail[i+1] {
		return
	}
	last := b.t
	if n.noSplit && !first {
		last = t + 1
	}
	for ; t < last; t++ {
		if b.left[t] < n.w || q[t] == 0 && b.held[t] >= b.c.share {
			continue
		}
		if q[t] == 0 {
			b.held[t]++
		}
		q[t]++
		b.left[t] -= n.w
		b.grow(i, t, depth)
		q[t]--
		b.left[t] += n.w
		if q[t] == 0 {
			b.held[t]--
		}
	}
}

// alike reports whether orders i and k could swap their lanes whenever the
// yields allow it.
func (c *core) alike(i, k int) bool {
	x, y := &c.need[i], &c.need[k]
	return x.w == y.w && x.noSplit == y.noSplit && x.u == none && y.u == none
}

// leaf finds whole lengths for the lanes of all orders.
func (b *brancher) leaf() {
	r := b.len.shortest(b.lane, b.sum)
	b.lost = b.lost || b.len.lost
	if r == nil {
		return
	}
	b.best = b.c.runsOf(b.lane, r)
	b.sum = totalLength(b.best) - 1
}

// runsOf makes runs of lengths r from the lanes of order i in run t.
func (c *core) runsOf(lane [][]int64, r []int64) []run {
	runs := make([]run, len(r))
	for t := range runs {
		runs[t].r = r[t]
		for i := range c.need {
			if p := lane[i][t]; p > 0 {
				runs[t].parts = append(runs[t].parts, part{i, p})
			}
		}
	}
	return withoutEmpty(runs)
}
