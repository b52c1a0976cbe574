package outline

import (
	"math"
	"math/bits"
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

func (s side) box() ringBox {
	return ringBox{pt{s.lowX(), s.lowY()}, pt{s.highX(), s.highY()}}
}

func (s side) lowX() int64  { return min(s.a.x, s.b.x) }
func (s side) highX() int64 { return max(s.a.x, s.b.x) }
func (s side) lowY() int64  { return min(s.a.y, s.b.y) }
func (s side) highY() int64 { return max(s.a.y, s.b.y) }

// crosses reports whether two sides cross inside both.
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

// holds reports whether p lies on the side, ends not counted.
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

// tree holds the boxes of runs of sides. Sides come in the order of their
// rings, so neighbours in the list are neighbours in the plane, and the list
// halved again and again is a good tree as it is.
type tree struct {
	sides []side
	boxes []ringBox // of node k's run; its halves are 2k+1 and 2k+2
	leaf  int       // runs no longer than this are not halved
}

func newTree(sides []side) *tree {
	t := &tree{sides: sides, leaf: 4}
	if len(sides) > 0 {
		t.box(0, 0, len(sides))
	}
	return t
}

func (t *tree) box(k, from, to int) ringBox {
	for len(t.boxes) <= k {
		t.boxes = append(t.boxes, ringBox{})
	}
	var b ringBox
	if to-from <= t.leaf {
		b = t.sides[from].box()
		for _, s := range t.sides[from+1 : to] {
			b = b.union(s.box())
		}
	} else {
		m := (from + to) / 2
		b = t.box(2*k+1, from, m).union(t.box(2*k+2, m, to))
	}
	t.boxes[k] = b
	return b
}

// run is a node of a tree with its stretch of the list.
type run struct{ k, from, to int }

func (r run) halves() (run, run) {
	m := (r.from + r.to) / 2
	return run{2*r.k + 1, r.from, m}, run{2*r.k + 2, m, r.to}
}

// eachPair calls f with all pairs of a side of one tree and a side of the other,
// moved, whose boxes touch, until f says stop; of a tree with itself each pair comes
// once. After so many looks it gives up and tells.
func eachPair(s, t *tree, by pt, looks int, f func(i, j int) (stop bool)) (stopped, exhausted bool) {
	var pairs func(a, b run)
	pairs = func(a, b run) {
		self := s == t && a == b
		if looks--; stopped || looks < 0 || !self && !s.boxes[a.k].touches(t.boxes[b.k].moved(by)) {
			return
		}
		wholeA, wholeB := a.to-a.from <= s.leaf, b.to-b.from <= t.leaf
		switch {
		case wholeA && wholeB:
			for i := a.from; i < a.to; i++ {
				box := s.sides[i].box()
				for j := b.from; j < b.to && (!self || j < i); j++ {
					if looks--; !stopped && box.touches(t.sides[j].box().moved(by)) {
						stopped = f(i, j)
					}
				}
			}
		case self:
			l, r := a.halves()
			pairs(l, l)
			pairs(r, r)
			pairs(l, r)
		case wholeB || !wholeA && a.to-a.from >= b.to-b.from:
			l, r := a.halves()
			pairs(l, b)
			pairs(r, b)
		default:
			l, r := b.halves()
			pairs(a, l)
			pairs(a, r)
		}
	}
	if len(s.sides) > 0 && len(t.sides) > 0 {
		pairs(run{0, 0, len(s.sides)}, run{0, 0, len(t.sides)})
	}
	return stopped, looks < 0
}

// mostLooks bounds the search for crossings. A drawing whose lines don't lie on
// top of each other takes some twenty looks for each side. Only tests change it.
var mostLooks = 100_000_000

// crossing finds a place where sides of the rings cross. Rings that touch, or
// run along each other, don't cross. It gives up on drawings with too many
// sides on top of each other.
func crossing(rings [][]pt) (where pt, found, exhausted bool) {
	sides := sidesOf(rings)
	all := newTree(sides)
	_, exhausted = eachPair(all, all, pt{}, mostLooks, func(i, j int) bool {
		if found = sides[i].crosses(sides[j]); found {
			where = sides[i].meet(sides[j])
		}
		return found
	})
	return where, found, exhausted
}
