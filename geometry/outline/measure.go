package outline

import (
	"math"

	"quoin/geometry"
)

const squareMillimetre = float64(geometry.Millimetre) * float64(geometry.Millimetre)

// Area returns the area in square millimetres, holes taken out: exact, but for
// the rounding of float64, for lines, arcs and cubic curves alike.
func (o Outline) Area() float64 {
	sum := 0.0
	for _, c := range o.contours {
		sum += c.signedArea()
	}
	return sum / squareMillimetre
}

// signedArea is in square nanometres, positive for an outer contour.
func (c Contour) signedArea() float64 {
	sum := 0.0
	origin := at(c.Start) // keeps the products small
	for _, p := range c.prims() {
		a, b := p.a.minus(origin), p.b.minus(origin)
		switch p.kind {
		case line:
			sum += a.cross(b) / 2
		case arc: // the triangle to the chord, and the segment beyond the chord
			sum += a.cross(b)/2 + p.r*p.r/2*(p.sweep-math.Sin(p.sweep))
		case cubic: // Green's theorem, integrated over the Bernstein polynomials
			c1, c2 := p.c1.minus(origin), p.c2.minus(origin)
			sum += (6*a.cross(c1) + 3*a.cross(c2) + a.cross(b) +
				3*c1.cross(c2) + 3*c1.cross(b) + 6*c2.cross(b)) / 20
		}
	}
	return sum
}

// Perimeter returns the length of the cut in millimetres, holes included: exact
// for lines and arcs, for curves to a hundred-thousandth of a millimetre.
func (o Outline) Perimeter() float64 {
	sum := 0.0
	for _, c := range o.contours {
		for _, p := range c.prims() {
			switch p.kind {
			case line:
				sum += p.b.minus(p.a).len()
			case arc:
				sum += p.r * math.Abs(p.sweep)
			case cubic:
				sum += p.arcLength(0)
			}
		}
	}
	return sum / float64(geometry.Millimetre)
}

// arcLength gives the length of a cubic. Its control polygon is never shorter
// and its chord never longer; halving closes the gap sixteenfold each time.
func (p *prim) arcLength(depth int) float64 {
	chord := p.b.minus(p.a).len()
	polygon := p.c1.minus(p.a).len() + p.c2.minus(p.c1).len() + p.b.minus(p.c2).len()
	if polygon-chord < 1 || depth == 16 {
		return (2*chord + 2*polygon) / 4
	}
	l, r := p.halves()
	return l.arcLength(depth+1) + r.arcLength(depth+1)
}

// Bounds returns the true box of the outline, not that of its control points, to
// the nearest nanometre.
func (o Outline) Bounds() geometry.Box { return o.bounds }

func boundsOf(contours []Contour) geometry.Box {
	lo, hi := vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}
	for _, c := range contours {
		for _, p := range c.prims() {
			l, h := p.bounds()
			lo, hi = vec{min(lo.x, l.x), min(lo.y, l.y)}, vec{max(hi.x, h.x), max(hi.y, h.y)}
		}
	}
	if len(contours) == 0 {
		return geometry.Box{}
	}
	return geometry.Box{Min: nearest(lo), Max: nearest(hi)}
}

// bounds gives the true box of one segment.
func (p *prim) bounds() (lo, hi vec) {
	lo, hi = vec{min(p.a.x, p.b.x), min(p.a.y, p.b.y)}, vec{max(p.a.x, p.b.x), max(p.a.y, p.b.y)}
	grow := func(q vec) {
		lo, hi = vec{min(lo.x, q.x), min(lo.y, q.y)}, vec{max(hi.x, q.x), max(hi.y, q.y)}
	}
	switch p.kind {
	case arc:
		if p.spans(0) {
			grow(vec{p.c.x + p.r, p.a.y})
		}
		if p.spans(math.Pi / 2) {
			grow(vec{p.a.x, p.c.y + p.r})
		}
		if p.spans(math.Pi) {
			grow(vec{p.c.x - p.r, p.a.y})
		}
		if p.spans(-math.Pi / 2) {
			grow(vec{p.a.x, p.c.y - p.r})
		}
	case cubic:
		for _, t := range p.extremes(func(v vec) float64 { return v.x }) {
			grow(p.point(t))
		}
		for _, t := range p.extremes(func(v vec) float64 { return v.y }) {
			grow(p.point(t))
		}
	}
	return lo, hi
}

// extremes gives the parameters, in order, at which a cubic turns back along
// one axis: the roots of the derivative inside (0, 1).
func (p *prim) extremes(axis func(vec) float64) []float64 {
	d0, d1, d2 := axis(p.c1)-axis(p.a), axis(p.c2)-axis(p.c1), axis(p.b)-axis(p.c2)
	a, b, c := d0-2*d1+d2, 2*(d1-d0), d0
	var roots []float64
	keep := func(t float64) {
		if t > 0 && t < 1 {
			roots = append(roots, t)
		}
	}
	if disc := b*b - 4*a*c; a == 0 {
		if b != 0 {
			keep(-c / b)
		}
	} else if disc >= 0 {
		// The stable pair: no difference of near equals.
		q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
		if q != 0 {
			keep(c / q)
		}
		keep(q / a)
	}
	if len(roots) == 2 && roots[0] > roots[1] {
		roots[0], roots[1] = roots[1], roots[0]
	}
	return roots
}
