package gang

// Sorted lengths R_1 >= ... >= R_T are written as parts z_s >= 0 with
// R_t = z_t/t + ... + z_T/T: z_s is the total length of s equal runs. A row
// p.R >= b then reads sum of z_s * mean(p_1..p_s) >= b, and the sum of R is the
// sum of z. The order of the lengths, which breaks the symmetry between runs,
// costs no rows.

// meanRow writes the row of lanes p over the parts z into a.
func meanRow(a []float64, p []int64) {
	sum := int64(0)
	for t, v := range p {
		sum += v
		a[t] = float64(sum) / float64(t+1)
	}
}

// prefixBound is the least sum of lengths that T runs need by the prefix rows:
// of the T*W of capacity each smaller order takes at least one lane, the m
// greatest orders have only the rest, and that rest is worth most in the
// longest runs.
func (c *core) prefixBound(t int) int64 {
	lp := newLengthLP(t)
	rows := c.prefixRows(t)
	coef := make([]float64, t)
	for range 8 * (t + len(rows)) { // any basis proves a bound, so stopping early is safe
		worst, row, rhs, real := 0.0, []float64(nil), 0.0, true
		for m := range rows {
			b := float64(rows[m].volume)
			if v := missed(rows[m].short(lp.r, c.cap), b); v > worst {
				worst, row, rhs = v, coef, b
				for s := range coef {
					coef[s] = rows[m].mean(s, c.cap)
				}
			}
		}
		for s, z := range lp.r {
			if v := missed(-z, 0); v > worst {
				worst, row, rhs, real = v, coef, 0, false
				clear(coef)
				coef[s] = 1
			}
		}
		if row == nil || !lp.enter(row, rhs, real) {
			break
		}
	}
	return max(c.volume(), wholeBound(lp.bound()))
}

// prefixRow says: the m greatest orders have this volume and at most so much
// capacity over all runs.
type prefixRow struct{ volume, room int64 }

func (c *core) prefixRows(t int) []prefixRow {
	rows := make([]prefixRow, len(c.need))
	room := int64(t) * c.cap
	for m := len(c.need) - 1; m >= 0; m-- {
		rows[m].room = room
		room -= c.need[m].w
	}
	var volume int64
	for m := range rows {
		volume += c.need[m].w * c.need[m].d
		rows[m].volume = volume
	}
	return rows
}

// mean is the row's coefficient for the first s+1 runs.
func (r *prefixRow) mean(s int, cap int64) float64 {
	return float64(min(int64(s+1)*cap, r.room)) / float64(s+1)
}

func (r *prefixRow) short(z []float64, cap int64) float64 {
	v := float64(r.volume)
	for s := range z {
		v -= z[s] * r.mean(s, cap)
	}
	return v
}
