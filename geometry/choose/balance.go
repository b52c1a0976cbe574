package choose

import (
	"math"
	"slices"
)

// mostLinked is of how many runs the lengths are balanced at a time.
const mostLinked = 10

// balance finds the least lengths of runs of one grade that print parts of the same
// orders,
//
//	min sum of r_j  with  r_j >= low_j  and  sum of lanes_ij * r_j >= need_i,
//
// by the dual simplex method: it begins with all runs as short as they may be, which no
// plan undercuts, and makes the order whole that lacks most, again and again.
type balance struct {
	n     int
	low   [mostLinked]float64
	r     [mostLinked]float64
	rows  []common
	inv   [mostLinked][mostLinked]float64 // of the rows that are tight
	price [mostLinked]float64
	work  int64
}

// common is an order that several of the runs print.
type common struct {
	order int
	need  float64
	at    []int8 // places of the runs
	lanes []float64
}

// begin forgets the runs and the orders.
func (b *balance) begin() { b.n, b.rows = 0, b.rows[:0] }

// run adds a run that is so long at least.
func (b *balance) run(low int64) {
	b.low[b.n], b.r[b.n] = float64(low), float64(low)
	b.n++
}

// length is that of a run.
func (b *balance) length(n int) float64 { return b.r[n] }

// order adds an order whose runs are named later.
func (b *balance) order(i int, need int64) {
	b.rows = slices.Grow(b.rows, 1)[:len(b.rows)+1] // with the room that the next one had
	c := &b.rows[len(b.rows)-1]
	c.order, c.need, c.at, c.lanes = i, float64(need), c.at[:0], c.lanes[:0]
}

// solve sets the lengths; it reports false where it comes to no end.
func (b *balance) solve() bool {
	for i := range b.n {
		clear(b.inv[i][:b.n])
		b.inv[i][i], b.price[i], b.r[i] = 1, 1, b.low[i]
	}
	for range 8 * mostLinked {
		lack, row := 1e-6, -1
		for i := range b.n {
			if v := b.low[i] - b.r[i]; v > lack {
				lack, row = v, i
			}
		}
		single := row
		for k := range b.rows {
			s := &b.rows[k]
			v := s.need
			for x, i := range s.at {
				v -= s.lanes[x] * b.r[i]
			}
			if v > lack {
				lack, row, single = v, k, -1
			}
		}
		if row < 0 {
			return true
		}
		if !b.pivot(row, single, lack) {
			return false
		}
	}
	return false
}

// pivot makes a row tight that lacks so much: that of a shared order, or of the least
// length of a run.
func (b *balance) pivot(row, single int, lack float64) bool {
	var w [mostLinked]float64
	leave, ratio := -1, math.Inf(1)
	for q := range b.n {
		v := 0.0
		if single >= 0 {
			v = b.inv[single][q]
		} else {
			s := &b.rows[row]
			for x, i := range s.at {
				v += s.lanes[x] * b.inv[i][q]
			}
		}
		w[q] = v
		if v > 1e-9 && b.price[q] < ratio*v {
			leave, ratio = q, b.price[q]/v
		}
	}
	b.work += int64(b.n * b.n)
	if leave < 0 {
		return false
	}
	for i := range b.n {
		col := b.inv[i][leave] / w[leave]
		if col == 0 {
			continue
		}
		b.r[i] += lack * col
		for q := range b.n {
			b.inv[i][q] -= w[q] * col
		}
		b.inv[i][leave] = col
	}
	for q := range b.n {
		b.price[q] -= ratio * w[q]
	}
	b.price[leave] = ratio
	return true
}
