package outline

import (
	"math"

	"quoin/geometry"
)

// vec is a point or a direction in nanometres.
type vec struct{ x, y float64 }

func at(p geometry.Position) vec { return vec{float64(p.Across), float64(p.Around)} }

func (a vec) plus(b vec) vec           { return vec{a.x + b.x, a.y + b.y} }
func (a vec) minus(b vec) vec          { return vec{a.x - b.x, a.y - b.y} }
func (a vec) times(k float64) vec      { return vec{a.x * k, a.y * k} }
func (a vec) dot(b vec) float64        { return a.x*b.x + a.y*b.y }
func (a vec) cross(b vec) float64      { return a.x*b.y - a.y*b.x }
func (a vec) len() float64             { return math.Hypot(a.x, a.y) }
func (a vec) angle() float64           { return math.Atan2(a.y, a.x) }
func (a vec) left() vec                { return vec{-a.y, a.x} } // a quarter turn in the positive sense
func (a vec) unit() vec                { return a.times(1 / a.len()) }
func mid(a, b vec) vec                 { return vec{(a.x + b.x) / 2, (a.y + b.y) / 2} }
func (a vec) mix(b vec, t float64) vec { return vec{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t} }

func nearest(v vec) geometry.Position {
	return geometry.Position{Across: geometry.Length(math.Round(v.x)), Around: geometry.Length(math.Round(v.y))}
}

// kind tells what a prim is.
type kind uint8

const (
	line kind = iota
	arc
	cubic
)

// prim is a segment with both ends, ready to compute with.
type prim struct {
	kind         kind
	a, b         vec     // ends
	c            vec     // arc: centre
	r            float64 // arc: radius
	start, sweep float64 // arc: angle of a, and the signed angle to b
	c1, c2       vec     // cubic: control points
}

// prims gives the contour's segments with both ends.
func (c Contour) prims() []prim {
	out := make([]prim, len(c.Segments))
	from := at(c.Start)
	for i, s := range c.Segments {
		out[i] = s.prim(from)
		from = out[i].b
	}
	return out
}

func (s Segment) prim(from vec) prim {
	p := prim{a: from, b: at(s.To)}
	switch {
	case s.Curve:
		p.kind, p.c1, p.c2 = cubic, at(s.C1), at(s.C2)
	case s.Bulge != 0:
		p.kind = arc
		chord := p.b.minus(p.a)
		// The centre lies off the middle of the chord by h (1 - b^2) / 2b, h half
		// the chord: elementary from b = tan(angle/4).
		p.c = mid(p.a, p.b).plus(chord.left().times((1 - s.Bulge*s.Bulge) / (4 * s.Bulge)))
		p.r = chord.len() * (1 + s.Bulge*s.Bulge) / (4 * math.Abs(s.Bulge))
		p.start = p.a.minus(p.c).angle()
		p.sweep = 4 * math.Atan(s.Bulge)
	}
	return p
}

// turn gives the angle from p.start to the direction, in the sense of the
// sweep, 0 <= turn < 2 pi.
func (p *prim) turn(direction float64) float64 {
	t := direction - p.start
	if p.sweep < 0 {
		t = -t
	}
	if t = math.Mod(t, 2*math.Pi); t < 0 {
		t += 2 * math.Pi
	}
	return t
}

// spans reports whether the arc reaches the direction from its centre.
func (p *prim) spans(direction float64) bool { return p.turn(direction) <= math.Abs(p.sweep) }

// point gives the place at the fraction t of the way: of the angle for an arc,
// of the parameter for a cubic.
func (p *prim) point(t float64) vec {
	switch p.kind {
	case arc:
		sin, cos := math.Sincos(p.start + p.sweep*t)
		return vec{p.c.x + p.r*cos, p.c.y + p.r*sin}
	case cubic:
		u := 1 - t
		b0, b1, b2, b3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		return vec{b0*p.a.x + b1*p.c1.x + b2*p.c2.x + b3*p.b.x, b0*p.a.y + b1*p.c1.y + b2*p.c2.y + b3*p.b.y}
	}
	return p.a.mix(p.b, t)
}

// tangent gives the unit direction of travel at t. At the end of a cubic whose
// control point stands on it, the next point away gives the direction.
func (p *prim) tangent(t float64) vec {
	switch p.kind {
	case arc:
		d := p.point(t).minus(p.c).left().times(1 / p.r)
		if p.sweep < 0 {
			return d.times(-1)
		}
		return d
	case cubic:
		d := p.derivative(t)
		if d.len() < 1e-3 {
			if t < 0.5 {
				d = p.point(t + 1e-4).minus(p.point(t))
			} else {
				d = p.point(t).minus(p.point(t - 1e-4))
			}
		}
		if d.len() == 0 {
			d = p.b.minus(p.a)
		}
		if d.len() == 0 {
			return vec{1, 0}
		}
		return d.unit()
	}
	return p.b.minus(p.a).unit()
}

// derivative of a cubic by its parameter.
func (p *prim) derivative(t float64) vec {
	u := 1 - t
	d := p.c1.minus(p.a).times(3 * u * u)
	d = d.plus(p.c2.minus(p.c1).times(6 * u * t))
	return d.plus(p.b.minus(p.c2).times(3 * t * t))
}

// second derivative of a cubic.
func (p *prim) second(t float64) vec {
	v := p.a.minus(p.c1.times(2)).plus(p.c2)
	w := p.c1.minus(p.c2.times(2)).plus(p.b)
	return v.times(6 * (1 - t)).plus(w.times(6 * t))
}

// sagitta bounds how far a cubic strays from its chord, run at an even pace:
// an eighth of the largest second derivative, which is at one of the ends.
func (p *prim) sagitta() float64 {
	if p.kind != cubic {
		return 0
	}
	return max(p.second(0).len(), p.second(1).len()) / 8
}

// halves cuts a cubic at its middle, by de Casteljau.
func (p *prim) halves() (prim, prim) {
	ab, bc, cd := mid(p.a, p.c1), mid(p.c1, p.c2), mid(p.c2, p.b)
	abc, bcd := mid(ab, bc), mid(bc, cd)
	m := mid(abc, bcd)
	return prim{kind: cubic, a: p.a, c1: ab, c2: abc, b: m}, prim{kind: cubic, a: m, c1: bcd, c2: cd, b: p.b}
}
