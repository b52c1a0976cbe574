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
// longest runs. It is what a search that has placed no order yet knows.
func prefixBound(c *core, t int) int64 {
	b := newBrancher(c, t)
	lp := newLengthLP(t)
	for range 8 * (t + len(c.need)) { // any basis proves a bound, so stopping early is safe
		a, rhs, real := b.broken(lp, 0, false)
		if a == nil || !lp.enter(a, rhs, real) {
			break
		}
	}
	return max(volumeBound(c), wholeBound(lp.bound()))
}
