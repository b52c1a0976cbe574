package outline

import (
	"math"
	"math/bits"
	"sort"
)

// orient tells on which side of the line from a to b the point c lies: 1 on the
// side to which a positive turn leads, -1 on the other, 0 on the line. It is
// exact.
func orient(a, b, c pt) int {
	ux, uy, vx, vy := b.x-a.x, b.y-a.y, c.x-a.x, c.y-a.y
	l, r := float64(ux)*float64(vy), float64(uy)*float64(vx)
	// Each product is off by at most 2^-53 of itself, and the inputs are exact.
	if d := l - r; math.Abs(d) > 1e-15*(math.Abs(l)+math.Abs(r)) {
		if d > 0 {
			return 1
		}
		return -1
	}
	return compareProducts(ux, vy, uy, vx)
}

// compareProducts gives the sign of a*b - c*d, in 128 bits.
func compareProducts(a, b, c, d int64) int {
	ls, lh, ll := product(a, b)
	rs, rh, rl := product(c, d)
	if ls != rs {
		if ls > rs {
			return 1
		}
		return -1
	}
	switch {
	case lh > rh || lh == rh && ll > rl:
		return ls
	case lh < rh || lh == rh && ll < rl:
		return -ls
	}
	return 0
}

func product(a, b int64) (sign int, hi, lo uint64) {
	sign = 1
	if a == 0 || b == 0 {
		return 0, 0, 0
	}
	if a < 0 != (b < 0) {
		sign = -1
	}
	hi, lo = bits.Mul64(uint64(max(a, -a)), uint64(max(b, -b)))
	return sign, hi, lo
}

// side is a straight side of a ring.
type side struct{ a, b pt }

func (s side) lowX() int64  { return min(s.a.x, s.b.x) }
func (s side) highX() int64 { return max(s.a.x, s.b.x) }
func (s side) lowY() int64  { return min(s.a.y, s.b.y) }
func (s side) highY() int64 { return max(s.a.y, s.b.y) }

// crosses tells whether two sides cross inside both.
func (s side) crosses(t side) bool {
	return orient(s.a, s.b, t.a)*orient(s.a, s.b, t.b) < 0 && orient(t.a, t.b, s.a)*orient(t.a, t.b, s.b) < 0
}

// meet gives the place where two crossing sides cross, to the nearest
// nanometre.
func (s side) meet(t side) pt {
	d, e := s.b.vec().minus(s.a.vec()), t.b.vec().minus(t.a.vec())
	k := t.a.vec().minus(s.a.vec()).cross(e) / d.cross(e)
	return s.a.vec().plus(d.times(k)).round()
}

// holds tells whether p lies on the side, ends not counted.
func (s side) holds(p pt) bool {
	return p != s.a && p != s.b &&
		p.x >= s.lowX() && p.x <= s.highX() && p.y >= s.lowY() && p.y <= s.highY() &&
		orient(s.a, s.b, p) == 0
}

func sidesOf(rings [][]pt) []side {
	var out []side
	for _, ring := range rings {
		for i, p := range ring {
			if q := ring[(i+1)%len(ring)]; p != q {
				out = append(out, side{p, q})
			}
		}
	}
	return out
}

// eachPair calls f with all pairs of sides whose boxes touch, until f says
// stop. It sweeps along x; sides of flattened curves are short, so few are ever
// under the sweep at once.
func eachPair(sides []side, f func(i, j int) (stop bool)) {
	order := make([]int, len(sides))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return sides[order[i]].lowX() < sides[order[j]].lowX() })
	var active []int
	for _, i := range order {
		s := sides[i]
		kept := active[:0]
		for _, j := range active {
			t := sides[j]
			if t.highX() < s.lowX() {
				continue
			}
			kept = append(kept, j)
			if t.lowY() <= s.highY() && s.lowY() <= t.highY() && f(i, j) {
				return
			}
		}
		active = append(kept, i)
	}
}

// crossing finds a place where sides of the rings cross. Rings that touch, or
// run along each other, don't cross.
func crossing(rings [][]pt) (where pt, found bool) {
	sides := sidesOf(rings)
	eachPair(sides, func(i, j int) bool {
		if found = sides[i].crosses(sides[j]); found {
			where = sides[i].meet(sides[j])
		}
		return found
	})
	return where, found
}
