// Package apart measures whether two shapes overlap and how far apart they
// stand, by plain means: straight sides, horizontal slices and distances from
// corners to sides. It shares no code with package outline, so that it can prove
// what was laid out with that one.
package apart

import (
	"math"
	"slices"
)

// Shape is a label as closed polygons: inside is what an odd number of them
// encloses.
type Shape struct {
	sides  []side
	lo, hi Point
}

// Point is a place or a move, across and around.
type Point struct{ X, Y float64 }

type side struct{ a, b Point }

// New makes a shape of rings of corners, the first corner not repeated. Rings of
// fewer than three corners enclose nothing and are left out.
func New(rings ...[]Point) *Shape {
	s := &Shape{lo: Point{math.Inf(1), math.Inf(1)}, hi: Point{math.Inf(-1), math.Inf(-1)}}
	for _, ring := range rings {
		if len(ring) < 3 {
			continue
		}
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			s.sides = append(s.sides, side{a, b})
			s.lo = Point{min(s.lo.X, a.X), min(s.lo.Y, a.Y)}
			s.hi = Point{max(s.hi.X, a.X), max(s.hi.Y, a.Y)}
		}
	}
	return s
}

// Moved returns the shape moved by d.
func (s *Shape) Moved(d Point) *Shape {
	m := &Shape{sides: make([]side, len(s.sides)), lo: s.lo.plus(d), hi: s.hi.plus(d)}
	for i, e := range s.sides {
		m.sides[i] = side{e.a.plus(d), e.b.plus(d)}
	}
	return m
}

func (p Point) plus(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Overlap returns the area in which the shapes lie on each other, and how deep: of
// the middles of the slices of that area the one that is farthest from the sides
// of both. Both are 0 for shapes that only touch, but for the rounding of
// float64: of labels in nanometres some hundred nm x nm of area.
//
// Between the heights of all corners and crossings, what both shapes cover of a
// horizontal line grows evenly; so each slice's area is its height times what is
// covered at its middle.
func (s *Shape) Overlap(t *Shape) (area, depth float64) {
	lo := Point{max(s.lo.X, t.lo.X), max(s.lo.Y, t.lo.Y)}
	hi := Point{min(s.hi.X, t.hi.X), min(s.hi.Y, t.hi.Y)}
	if !(lo.X < hi.X && lo.Y < hi.Y) {
		return 0, 0
	}
	a, b := s.between(lo.Y, hi.Y), t.between(lo.Y, hi.Y)
	heights := []float64{lo.Y, hi.Y}
	for _, list := range [...][]side{a, b} {
		for _, e := range list {
			heights = append(heights, e.a.Y, e.b.Y)
		}
	}
	for _, e := range a {
		for _, f := range b {
			if y, ok := e.crossing(f); ok {
				heights = append(heights, y)
			}
		}
	}
	slices.Sort(heights)
	heights = slices.Compact(heights)
	sum := 0.0
	for i := 1; i < len(heights); i++ {
		from, to := heights[i-1], heights[i]
		if from < lo.Y || to > hi.Y {
			continue
		}
		y := (from + to) / 2
		for _, piece := range common(cuts(a, y), cuts(b, y)) {
			sum += (piece[1] - piece[0]) * (to - from)
			middle := Point{(piece[0] + piece[1]) / 2, y}
			if min(to-from, piece[1]-piece[0])/2 > depth {
				depth = max(depth, min(s.distanceOf(middle), t.distanceOf(middle)))
			}
		}
	}
	return sum, depth
}

// between gives the sides that reach into the stretch of heights.
func (s *Shape) between(lo, hi float64) []side {
	var out []side
	for _, e := range s.sides {
		if min(e.a.Y, e.b.Y) <= hi && max(e.a.Y, e.b.Y) >= lo {
			out = append(out, e)
		}
	}
	return out
}

// crossing gives the height at which two sides cross.
func (e side) crossing(f side) (float64, bool) {
	if max(e.a.X, e.b.X) < min(f.a.X, f.b.X) || max(f.a.X, f.b.X) < min(e.a.X, e.b.X) ||
		max(e.a.Y, e.b.Y) < min(f.a.Y, f.b.Y) || max(f.a.Y, f.b.Y) < min(e.a.Y, e.b.Y) {
		return 0, false
	}
	ux, uy, vx, vy := e.b.X-e.a.X, e.b.Y-e.a.Y, f.b.X-f.a.X, f.b.Y-f.a.Y
	by := ux*vy - uy*vx
	if by == 0 {
		return 0, false
	}
	k := ((f.a.X-e.a.X)*vy - (f.a.Y-e.a.Y)*vx) / by
	return e.a.Y + k*uy, k >= 0 && k <= 1
}

// cuts gives where the sides cross a height at which no corner is, in order.
func cuts(sides []side, y float64) []float64 {
	var out []float64
	for _, e := range sides {
		if (e.a.Y > y) != (e.b.Y > y) {
			out = append(out, e.a.X+(e.b.X-e.a.X)*(y-e.a.Y)/(e.b.Y-e.a.Y))
		}
	}
	slices.Sort(out)
	return out
}

// common gives what two lists of pieces, each from an even cut to the next odd
// one, have in common.
func common(a, b []float64) (out [][2]float64) {
	for i, j := 0, 0; i+1 < len(a) && j+1 < len(b); {
		if lo, hi := max(a[i], b[j]), min(a[i+1], b[j+1]); lo < hi {
			out = append(out, [2]float64{lo, hi})
		}
		if a[i+1] < b[j+1] {
			i += 2
		} else {
			j += 2
		}
	}
	return out
}

// Distance returns the least distance of the sides of two shapes, or the
// limit where none is nearer. It looks at sides only: of shapes that
// overlap, it tells nothing.
func (s *Shape) Distance(t *Shape, limit float64) float64 {
	return min(s.cornersTo(t, limit), t.cornersTo(s, limit))
}

// cornersTo gives the least distance from a corner of s to a side of t.
func (s *Shape) cornersTo(t *Shape, limit float64) float64 {
	for _, e := range s.sides {
		p := e.a
		if p.X < t.lo.X-limit || p.X > t.hi.X+limit || p.Y < t.lo.Y-limit || p.Y > t.hi.Y+limit {
			continue
		}
		for _, f := range t.sides {
			if p.X < min(f.a.X, f.b.X)-limit || p.X > max(f.a.X, f.b.X)+limit || p.Y < min(f.a.Y, f.b.Y)-limit || p.Y > max(f.a.Y, f.b.Y)+limit {
				continue
			}
			limit = min(limit, f.distance(p))
		}
	}
	return limit
}

func (s *Shape) distanceOf(p Point) float64 {
	least := math.Inf(1)
	for _, e := range s.sides {
		least = min(least, e.distance(p))
	}
	return least
}

func (e side) distance(p Point) float64 {
	dx, dy, wx, wy := e.b.X-e.a.X, e.b.Y-e.a.Y, p.X-e.a.X, p.Y-e.a.Y
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = min(max((dx*wx+dy*wy)/n, 0), 1)
	}
	return math.Hypot(wx-t*dx, wy-t*dy)
}
