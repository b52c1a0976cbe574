package outline

import (
	"math"
	"slices"
)

// crossings counts how often a ray from v in the direction of Across crosses
// the segment. Each part of the segment that only climbs or only falls owns its
// lower end and not its upper, so that no crossing counts twice.
func (p *prim) crossings(v vec) int {
	if p.kind == line {
		if (p.a.y > v.y) != (p.b.y > v.y) && p.xAt(v.y, 0, 1, p.a, p.b) > v.x {
			return 1
		}
		return 0
	}
	cuts := []float64{0}
	switch p.kind {
	case arc:
		cuts = append(cuts, p.steepest()...)
	case cubic:
		cuts = append(cuts, p.extremes(func(w vec) float64 { return w.y })...)
	}
	cuts = append(cuts, 1)
	n := 0
	end := p.a
	for i := 1; i < len(cuts); i++ {
		start := end
		if end = p.b; i < len(cuts)-1 {
			end = p.point(cuts[i])
		}
		if (start.y > v.y) != (end.y > v.y) && p.xAt(v.y, cuts[i-1], cuts[i], start, end) > v.x {
			n++
		}
	}
	return n
}

// steepest gives the fractions of the sweep at which an arc stops climbing or
// falling, in order.
func (p *prim) steepest() []float64 {
	var out []float64
	for _, direction := range [...]float64{math.Pi / 2, -math.Pi / 2} {
		if t := p.turn(direction) / math.Abs(p.sweep); t > 0 && t < 1 {
			out = append(out, t)
		}
	}
	if len(out) == 2 && out[0] > out[1] {
		out[0], out[1] = out[1], out[0]
	}
	return out
}

// xAt gives where the part t0..t1, which only climbs or only falls, meets the
// line at y.
func (p *prim) xAt(y, t0, t1 float64, start, end vec) float64 {
	switch p.kind {
	case line:
		return start.x + (end.x-start.x)*(y-start.y)/(end.y-start.y)
	case arc:
		half := math.Sqrt(max(p.r*p.r-(y-p.c.y)*(y-p.c.y), 0))
		if p.point((t0+t1)/2).x < p.c.x {
			return p.c.x - half
		}
		return p.c.x + half
	}
	climbs := end.y > start.y
	for range 60 { // halving: float64 has 53 bits
		t := (t0 + t1) / 2
		if (p.point(t).y < y) == climbs {
			t0 = t
		} else {
			t1 = t
		}
	}
	return p.point(t0).x
}

// winding counts how often the rings run around v in the positive sense.
func winding(v vec, rings ...[]pt) int {
	n := 0
	for _, ring := range rings {
		for i, q := range ring {
			a, b := ring[(i+len(ring)-1)%len(ring)].vec(), q.vec()
			if (a.y > v.y) == (b.y > v.y) {
				continue
			}
			side := b.minus(a).cross(v.minus(a))
			if b.y > a.y && side > 0 {
				n++
			} else if b.y < a.y && side < 0 {
				n--
			}
		}
	}
	return n
}

// ringInside reports whether ring a lies inside ring b; they don't cross, but
// may touch. A ring that runs along the other all round is not inside it.
func ringInside(a, b []pt) bool {
	s, t := newSolid([][]pt{a}), newSolid([][]pt{b})
	j := joint{s: s, t: t, touches: map[pt]bool{}, onS: map[int][]pt{}, onT: map[int][]pt{}}
	j.cross()
	along := whole(t.pieces(pt{}, j.onT, j.touches))
	return slices.ContainsFunc(s.pieces(pt{}, j.onS, j.touches), func(p piece) bool {
		return !(p.whole && (along[p.side] || along[p.flipped()])) && t.holdsMiddle(p.side, pt{})
	})
}

// ringBox is the box of a ring.
type ringBox struct{ lo, hi pt }

func boxOfRing(ring []pt) ringBox {
	b := ringBox{ring[0], ring[0]}
	for _, p := range ring {
		b.lo, b.hi = pt{min(b.lo.x, p.x), min(b.lo.y, p.y)}, pt{max(b.hi.x, p.x), max(b.hi.y, p.y)}
	}
	return b
}

func boxesOf(rings [][]pt) []ringBox {
	out := make([]ringBox, len(rings))
	for i, r := range rings {
		out[i] = boxOfRing(r)
	}
	return out
}

func (b ringBox) holds(c ringBox) bool {
	return b.lo.x <= c.lo.x && b.lo.y <= c.lo.y && c.hi.x <= b.hi.x && c.hi.y <= b.hi.y
}

func (b ringBox) touches(c ringBox) bool {
	return b.lo.x <= c.hi.x && c.lo.x <= b.hi.x && b.lo.y <= c.hi.y && c.lo.y <= b.hi.y
}

func (b ringBox) union(c ringBox) ringBox {
	return ringBox{
		pt{min(b.lo.x, c.lo.x), min(b.lo.y, c.lo.y)},
		pt{max(b.hi.x, c.hi.x), max(b.hi.y, c.hi.y)},
	}
}
