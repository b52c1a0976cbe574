package gang

// table is the knapsack over the capacities of t >= 2 runs: for every capacity
// used in the first t-1 runs, the least that must be used in the last.
//
// Only a band of it is filled. After the first orders, a state has used at
// least their volume, lanes being whole, and at most what the other orders
// leave of the runs; this bounds the capacity used in the last run but one,
// the column, by that used in the runs before, the row.
type table struct {
	c        *core
	t        int
	stride   []int     // of the runs but the last
	rows     [][]int64 // capacity used in the runs of the row
	packed   []uint64  // the same, in fields with their guards
	guard    uint64
	down     []int // rows from one to the next, of each run of a row
	from, to []int32
	band     [2][]span // columns filled, by row, of from and to
	live     []int     // rows whose band in to is not empty
	rowUse   []int64   // volume used in the runs of the row
	choice   []int32   // widths in each run of the choices of all orders, t each
	first    []int     // where the choices of an order begin
	loss     []int64   // what each choice takes beyond the least volume of its order
	least    []int64   // least volume of the orders before, lanes being whole
	slack    int64     // volume of the runs beyond the least of all orders
	lane     []int64
	blank    []int32
}

// span is the range [lo, hi] of columns.
type span struct{ lo, hi int }

// widestTable is the greatest number of states of a table.
const widestTable = 6000

// overfull marks a state that cannot be reached.
const overfull = 1 << 29

func newTable(c *core, t int) *table {
	tb := &table{c: c, t: t, lane: make([]int64, t), stride: make([]int, t-1)}
	size := 1
	for k := t - 2; k >= 0; k-- {
		tb.stride[k] = size
		size *= int(c.cap) + 1
	}
	for r := range size / int(c.cap+1) {
		at := make([]int64, t-2)
		for k := range at {
			at[k] = int64(r*int(c.cap+1)/tb.stride[k]) % (c.cap + 1)
		}
		tb.rows = append(tb.rows, at)
		packed := uint64(0)
		for k, v := range at {
			packed |= uint64(v) << (roomField * k)
		}
		tb.packed = append(tb.packed, packed)
	}
	for k := range t - 2 {
		tb.down = append(tb.down, tb.stride[k]/int(c.cap+1))
		tb.guard |= 1 << (roomField*k + roomField - 1)
	}
	for r := range tb.packed {
		tb.packed[r] |= tb.guard
	}
	tb.from, tb.to, tb.blank = make([]int32, size), make([]int32, size), make([]int32, size)
	for k := range tb.blank {
		tb.blank[k] = overfull
	}
	tb.band = [2][]span{make([]span, len(tb.rows)), make([]span, len(tb.rows))}
	tb.rowUse = make([]int64, len(tb.rows))
	tb.least = make([]int64, len(c.need)+1)
	return tb
}

// choose lists the choices of every order for lengths in [lo, hi]: the lane
// numbers that meet the demand at the greatest lengths and the overs limit at
// the least, and that cannot spare a lane.
func (tb *table) choose(lo, hi []int64) {
	tb.choice, tb.first = tb.choice[:0], tb.first[:0]
	for i := range tb.c.need {
		tb.first = append(tb.first, len(tb.choice))
		n := &tb.c.need[i]
		tb.chooseFrom(n, 0, n.d, n.u, lo, hi)
	}
	tb.first = append(tb.first, len(tb.choice))
}

// chooseFrom sets the lanes in the runs from k on, with rest still to be made
// and room left for overs.
func (tb *table) chooseFrom(n *need, k int, rest, room int64, lo, hi []int64) {
	last := tb.t - 1
	if k == last {
		p := int64(0)
		if rest > 0 {
			p = ceilDiv(rest, hi[last])
		}
		if p*n.w > tb.c.cap || p*lo[last] > room {
			return
		}
		slack := rest - p*hi[last] // at most 0; a lane to spare shows here
		for j := range last {
			if tb.lane[j] > 0 && slack+hi[j] <= 0 {
				return
			}
		}
		tb.lane[last] = p
		if n.noSplit && split(tb.lane) {
			return
		}
		for _, v := range tb.lane {
			tb.choice = append(tb.choice, int32(v*n.w))
		}
		return
	}
	for p := int64(0); p*n.w <= tb.c.cap && p*lo[k] <= room; p++ {
		tb.lane[k] = p
		left := rest - p*hi[k]
		tb.chooseFrom(n, k+1, left, room-p*lo[k], lo, hi)
		if left <= 0 {
			break
		}
	}
	tb.lane[k] = 0
}

// split reports whether lanes lie in more than one run.
func split[N int16 | int64](lane []N) bool {
	runs := 0
	for _, v := range lane {
		if v > 0 {
			runs++
		}
	}
	return runs > 1
}

// spare is the capacity that the orders leave in the last of t runs of lengths
// in [lo, hi], negative if they do not fit, counting lanes as if demands met
// the greatest lengths and overs the least. It is exact when all intervals are
// single lengths.
func (tb *table) spare(m *meter, lo, hi []int64) int64 {
	tb.choose(lo, hi)
	m.spend(int64(len(tb.choice)/20 + 1))
	return tb.fill(m, hi)
}

// take makes the choices that an auction left those of the table.
func (tb *table) take(q *auction) {
	tb.choice, tb.first = tb.choice[:0], tb.first[:0]
	for j := len(q.pick) - 1; j >= 0; j-- {
		tb.first = append(tb.first, len(tb.choice))
		for _, o := range q.all[q.first[j]:q.first[j+1]] {
			for k := range q.t {
				tb.choice = append(tb.choice, int32(o.lanes.in(k)*q.need(j).w))
			}
		}
	}
	tb.first = append(tb.first, len(tb.choice))
}

// fill is spare for the choices at hand. Any prices above 0 of a unit of
// capacity in each run, such as the greatest lengths, bound the band: what they
// say no plan can afford is left out.
func (tb *table) fill(m *meter, hi []int64) int64 {
	if !tb.weigh(hi) {
		return -1
	}
	tb.begin(hi)
	work := 0
	defer func() { m.spend(int64(work/100 + 1)) }()
	for i := range tb.c.need {
		work += tb.addOrder(i, hi) + len(tb.from)
	}
	_, used := tb.end()
	return tb.c.cap - int64(used)
}

// weigh sums the least volumes of the orders, finds what each choice loses
// beyond them, and reports whether the runs have that much.
func (tb *table) weigh(hi []int64) bool {
	var room int64
	for _, r := range hi {
		room += r * tb.c.cap
	}
	tb.loss = tb.loss[:0]
	for i := range tb.c.need {
		least := int64(none)
		from := len(tb.loss)
		for k := tb.first[i]; k < tb.first[i+1]; k += tb.t {
			v := int64(0)
			for j, r := range hi {
				v += int64(tb.choice[k+j]) * r
			}
			tb.loss = append(tb.loss, v)
			least = min(least, v)
		}
		for k := from; k < len(tb.loss); k++ {
			tb.loss[k] -= least
		}
		tb.least[i+1] = tb.least[i] + least
		if tb.least[i+1] > room {
			return false
		}
	}
	tb.slack = room - tb.least[len(tb.c.need)]
	return true
}

// begin empties the table.
func (tb *table) begin(hi []int64) {
	for r, at := range tb.rows {
		tb.rowUse[r] = 0
		for k, v := range at {
			tb.rowUse[r] += v * hi[k]
		}
		tb.band[0][r] = span{0, -1}
	}
	copy(tb.from, tb.blank)
	tb.from[0] = 0
	tb.band[0][0] = span{0, 0}
}

// addOrder takes order i into the table and returns the number of states looked at.
func (tb *table) addOrder(i int, hi []int64) int {
	f, g := tb.from, tb.to
	copy(g, tb.blank)
	t, inner := tb.t, int(tb.c.cap)+1
	tb.live = tb.live[:0]
	before, now := tb.band[0], tb.band[1]
	for r := range tb.rows {
		now[r] = tb.columns(tb.least[i+1]-tb.rowUse[r], hi)
		if now[r].lo <= now[r].hi {
			tb.live = append(tb.live, r)
		}
	}
	work := 0
	for k := tb.first[i]; k < tb.first[i+1]; k += t {
		if tb.loss[k/t] > tb.slack {
			continue // no plan can afford it
		}
		w := tb.choice[k : k+t]
		last := w[t-1]
		shift, takes := 0, uint64(0) // rows between a state and the one it comes from
		for j, v := range w[:t-2] {
			shift += int(v) * tb.down[j]
			takes |= uint64(v) << (roomField * j)
		}
		in := int(w[t-2])
		for _, r := range tb.live {
			if r < shift || (tb.packed[r]-takes)&tb.guard != tb.guard {
				continue
			}
			was, is := &before[r-shift], &now[r]
			lo, hi := max(was.lo+in, is.lo), min(was.hi+in, is.hi)
			if lo > hi {
				continue
			}
			work += hi - lo + 4
			dst := g[r*inner+lo : r*inner+hi+1]
			src := f[(r-shift)*inner+lo-in:][:len(dst)]
			for x, v := range src {
				if v += last; v < dst[x] {
					dst[x] = v
				}
			}
		}
	}
	tb.from, tb.to = g, f
	tb.band[0], tb.band[1] = tb.band[1], tb.band[0]
	return work
}

// columns is the band of a row that must still have volume least, give or take
// the slack, in the last two runs.
func (tb *table) columns(least int64, hi []int64) span {
	if least+tb.slack < 0 {
		return span{0, -1}
	}
	s := span{0, int(min(tb.c.cap, (least+tb.slack)/hi[tb.t-2]))}
	if low := least - tb.c.cap*hi[tb.t-1]; low > 0 {
		s.lo = int(ceilDiv(low, hi[tb.t-2]))
	}
	return s
}

// end returns the state that uses least of the last run, and how much.
func (tb *table) end() (int, int32) {
	best := 0
	for k, v := range tb.from {
		if v < tb.from[best] {
			best = k
		}
	}
	return best, tb.from[best]
}

// lanes returns the lanes of order i in run t for lengths that are known to fit.
func (tb *table) lanes(r []int64) [][]int64 {
	tb.choose(r, r)
	tb.weigh(r)
	tb.begin(r)
	n := len(tb.c.need)
	past := make([][]int32, n) // past[i] is the table of the orders before i
	for i := range n {
		past[i] = append([]int32(nil), tb.from...)
		tb.addOrder(i, r)
	}
	state, value := tb.end()
	lane := make([][]int64, n)
	for i := n - 1; i >= 0; i-- {
		for k := tb.first[i]; ; k += tb.t {
			w := tb.choice[k : k+tb.t]
			from := tb.back(state, w)
			if from < 0 || past[i][from]+w[tb.t-1] != value {
				continue
			}
			lane[i] = make([]int64, tb.t)
			for j, v := range w {
				lane[i][j] = int64(v) / tb.c.need[i].w
			}
			state, value = from, past[i][from]
			break
		}
	}
	return lane
}

// back is the state from which a choice of widths leads to state, or -1.
func (tb *table) back(state int, w []int32) int {
	from := state
	for j, s := range tb.stride {
		if state/s%(int(tb.c.cap)+1) < int(w[j]) {
			return -1
		}
		from -= int(w[j]) * s
	}
	return from
}
