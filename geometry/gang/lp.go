package gang

import "math"

// lengthLP finds the least sum of T variables R_1..R_T >= 0, run lengths or
// their parts, under rows a.R >= b that are added one at a time.
//
// It is the simplex method on the dual: max b.y with the rows as columns and T
// constraints "sum y a_t <= 1". A row that the current lengths break enters
// the basis, so rows can be found as needed and a child of a search node starts
// from the basis of its parent. Whatever the state, its dual values prove a
// bound.
type lengthLP struct {
	t    int
	inv  []float64 // T x T inverse of the basis
	row  []float64 // T x T: coefficients of the row in each basis place
	rhs  []float64 // right side of the row in each basis place
	real []bool    // the place holds a row, not the slack of a length
	y    []float64 // dual values of the basis places
	r    []float64 // lengths
	dir  []float64
}

func newLengthLP(t int) *lengthLP {
	lp := &lengthLP{
		t: t, inv: make([]float64, t*t), row: make([]float64, t*t), rhs: make([]float64, t),
		real: make([]bool, t), y: make([]float64, t), r: make([]float64, t), dir: make([]float64, t),
	}
	lp.reset()
	return lp
}

func (lp *lengthLP) reset() {
	clear(lp.inv)
	clear(lp.row)
	clear(lp.rhs)
	clear(lp.real)
	clear(lp.r)
	for i := range lp.t {
		lp.inv[i*lp.t+i], lp.row[i*lp.t+i], lp.y[i] = 1, 1, 1
	}
}

// set makes lp a copy of o.
func (lp *lengthLP) set(o *lengthLP) {
	copy(lp.inv, o.inv)
	copy(lp.row, o.row)
	copy(lp.rhs, o.rhs)
	copy(lp.real, o.real)
	copy(lp.y, o.y)
	copy(lp.r, o.r)
}

// tiny is what counts as zero in pivots: entries are small whole numbers and
// their quotients, so anything below is rounding.
const tiny = 1e-9

// short is by how much the current lengths miss the row.
func (lp *lengthLP) short(a []float64, b float64) float64 {
	for t, v := range a {
		b -= v * lp.r[t]
	}
	return b
}

// missed scales the shortfall v of a row with right side b, to compare rows;
// 0 when it is only rounding. Rows have whole coefficients, so whole lengths
// that miss one miss it by 1: a shortfall of 1e-5 never hides one.
func missed(v, b float64) float64 {
	b = max(1, math.Abs(b))
	if v <= 1e-5+1e-12*b {
		return 0
	}
	return v / b
}

// enter brings the row a.R >= b, or with real false the bound R_t >= 0 given
// as a unit vector, into the basis. It returns false when no lengths keep all
// rows.
func (lp *lengthLP) enter(a []float64, b float64, real bool) bool {
	t := lp.t
	leave, ratio := -1, math.Inf(1)
	for i := range t {
		u := 0.0
		for k, v := range lp.inv[i*t : i*t+t] {
			u += v * a[k]
		}
		lp.dir[i] = u
		if u > tiny {
			if q := lp.y[i] / u; q < ratio-tiny || q < ratio && u > lp.dir[leave] {
				leave, ratio = i, q
			}
		}
	}
	if leave < 0 {
		return false
	}
	pivot := lp.inv[leave*t : leave*t+t]
	scale := 1 / lp.dir[leave]
	for k := range pivot {
		pivot[k] *= scale
	}
	for i := range t {
		if f := lp.dir[i]; i != leave && f != 0 {
			for k, v := range pivot {
				lp.inv[i*t+k] -= f * v
			}
			lp.y[i] = max(0, lp.y[i]-f*ratio)
		}
	}
	lp.y[leave], lp.rhs[leave], lp.real[leave] = ratio, b, real
	copy(lp.row[leave*t:], a)
	clear(lp.r)
	for i := range t {
		if lp.rhs[i] != 0 {
			for k, v := range lp.inv[i*t : i*t+t] {
				lp.r[k] += lp.rhs[i] * v
			}
		}
	}
	return true
}

// bound is the least sum of lengths that the dual values prove. It is safe
// against rounding: the values are scaled until they are feasible, so only the
// rounding of one sum is left, for which the result is lowered.
func (lp *lengthLP) bound() float64 {
	sum, size, most := 0.0, 0.0, 1.0
	for i := range lp.t {
		if lp.real[i] {
			sum += lp.y[i] * lp.rhs[i]
			size += math.Abs(lp.y[i] * lp.rhs[i])
		}
	}
	if sum <= 0 {
		return 0
	}
	for k := range lp.t {
		col := 0.0
		for i := range lp.t {
			if lp.real[i] {
				col += lp.y[i] * lp.row[i*lp.t+k]
			}
		}
		most = max(most, col)
	}
	return sum/most - 1e-12*size
}

// wholeBound is the least whole number not under the bound v: lengths are
// whole.
func wholeBound(v float64) int64 { return int64(math.Ceil(v - 1e-9)) }

// sum is the sum of the current variables.
func (lp *lengthLP) sum() float64 {
	sum := 0.0
	for _, v := range lp.r {
		sum += v
	}
	return sum
}
