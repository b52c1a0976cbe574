package gang

// box is an interval [lo, hi] of lengths for each run.
type box struct{ lo, hi [mostBoxed]int64 }

// allLengths is the box of all lengths that t runs can have.
func (c *core) allLengths(t int) box {
	longest := c.least
	for i := range c.need {
		longest = max(longest, c.need[i].d)
	}
	var b box
	for k := range t {
		b.lo[k], b.hi[k] = c.least, longest
	}
	return b
}

// width is by how much the length of run k can change.
func (b *box) width(k int) int64 { return b.hi[k] - b.lo[k] }

// middle is the length of run k at which the box is halved.
func (b *box) middle(k int) int64 { return b.lo[k] + b.width(k)/2 }

// sums returns the least and the greatest sum of t lengths.
func (b *box) sums(t int) (lo, hi int64) {
	for k := range t {
		lo += b.lo[k]
		hi += b.hi[k]
	}
	return lo, hi
}

// least is the least yield of p at lengths whose sum exceeds the least sum by
// at least down.
func (b *box) least(p *placing, t int, down int64) int64 { return b.yield(p, t, down, -1) }

// greatest is the greatest yield of p at lengths whose sum exceeds the least
// sum by at most up.
func (b *box) greatest(p *placing, t int, up int64) int64 { return b.yield(p, t, up, 1) }

// yield is that of p when the lengths grow from their least by more in all: with
// sign 1 those first in which p has most lanes, with -1 those in which it has
// fewest.
func (b *box) yield(p *placing, t int, more int64, sign int16) int64 {
	var made int64
	for k := range t {
		made += int64(p[k]) * b.lo[k]
	}
	var used [mostBoxed]bool
	for more > 0 {
		at := -1
		for k := range t {
			if !used[k] && (at < 0 || sign*p[k] > sign*p[at]) {
				at = k
			}
		}
		if at < 0 {
			break
		}
		used[at] = true
		grown := min(more, b.width(at))
		made += int64(p[at]) * grown
		more -= grown
	}
	return made
}

// meet narrows each length of b to those at which p can make from least to
// most, whatever the others are; false when there are none.
func (b *box) meet(p *placing, t int, least, most int64) bool {
	var lo, hi int64
	for k := range t {
		lo += int64(p[k]) * b.lo[k]
		hi += int64(p[k]) * b.hi[k]
	}
	was := *b
	for k := range t {
		lanes := int64(p[k])
		if lanes == 0 {
			continue
		}
		if v := least - hi + lanes*was.hi[k]; v > 0 {
			b.lo[k] = max(b.lo[k], ceilDiv(v, lanes))
		}
		v := most - lo + lanes*was.lo[k]
		if v < 0 {
			return false
		}
		b.hi[k] = min(b.hi[k], v/lanes)
		if b.lo[k] > b.hi[k] {
			return false
		}
	}
	return true
}
