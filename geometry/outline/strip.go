package outline

import (
	"math"

	"quoin/geometry"
)

// Waist returns the narrowest neck of waste between two stretches of the outline
// that face each other across the outside, and whether there is one. When the
// matrix is stripped it tears first at its waist; what lies between two labels
// is the gap and not counted here, and neither are holes, whose waste falls out.
//
// A neck is a shortest way, straight through the waste, that gets longer or
// stays as long when either end moves along the outline. A notch that only
// narrows towards its tip has none. The result is off by at most twice
// Flatness.
func (o Outline) Waist() (geometry.Length, bool) {
	var rings [][]pt
	for _, c := range o.contours {
		if c.signedArea() > 0 {
			rings = append(rings, c.ring(float64(Flatness)))
		}
	}
	w := waist{rings: rings, sides: sidesOf(rings), least: math.Inf(1)}
	var bends []bend
	for _, ring := range rings {
		for i, p := range ring {
			bends = append(bends, bend{ring[(i+len(ring)-1)%len(ring)], p, ring[(i+1)%len(ring)]})
		}
	}
	for _, b := range bends {
		for _, c := range bends {
			w.try(b, c)
		}
	}
	if math.IsInf(w.least, 1) {
		return 0, false
	}
	return geometry.Length(math.Round(w.least)), true
}

type waist struct {
	rings [][]pt
	sides []side
	least float64
}

// bend is a corner of a ring with its neighbours.
type bend struct{ before, here, after pt }

// resists reports whether moving the corner along its own sides never shortens
// a way that leaves it in the direction u.
func (b bend) resists(u vec) bool {
	// Sides along a neck of even width are square to the way, but for the
	// rounding of their corners: 1 nm on a side of 1 mm.
	const slack = 1e-6
	for _, next := range [...]pt{b.before, b.after} {
		if next.vec().minus(b.here.vec()).unit().dot(u) > slack {
			return false
		}
	}
	return true
}

// try looks at the shortest way from a corner to the side that begins at
// another.
func (w *waist) try(from, to bend) {
	v, a, b := from.here.vec(), to.here.vec(), to.after.vec()
	if from.here == to.here || from.here == to.after {
		return
	}
	d := b.minus(a)
	t := v.minus(a).dot(d) / d.dot(d)
	if t >= 1 {
		return // the next side begins there
	}
	foot := a.plus(d.times(max(t, 0)))
	way := foot.minus(v)
	length := way.len()
	if length >= w.least || length == 0 {
		return
	}
	u := way.times(1 / length)
	if !from.resists(u) || t <= 0 && !to.resists(u.times(-1)) || !w.clear(v, foot) {
		return
	}
	w.least = length
}

// clear reports whether the straight way runs through the outside all along.
func (w *waist) clear(from, to vec) bool {
	if winding(mid(from, to), w.rings...) != 0 {
		return false
	}
	inner, end := from.mix(to, 1e-6), to.mix(from, 1e-6)
	for _, s := range w.sides {
		a, b := s.a.vec(), s.b.vec()
		d, e := end.minus(inner), b.minus(a)
		if d.cross(a.minus(inner))*d.cross(b.minus(inner)) < 0 && e.cross(inner.minus(a))*e.cross(end.minus(a)) < 0 {
			return false
		}
	}
	return true
}

// Side tells which way a corner of the label points.
type Side uint8

// The sides of an outline.
const (
	Convex  Side = iota // a corner of the label, where it may lift and the matrix tear
	Concave             // a corner of the waste that reaches into the label
)

// sharp is the turn from which two segments make a sharp corner, 30 degrees.
// Lesser turns come from curves that were drawn as short lines.
const sharp = math.Pi / 6

// LeastRadius returns the least radius of curvature on the side, 0 for a sharp
// corner, and whether the outline bends to that side at all. A blunt corner
// between two segments counts as the arc that fits into half of the shorter.
func (o Outline) LeastRadius(on Side) (geometry.Length, bool) {
	sign := 1.0
	if on == Concave {
		sign = -1
	}
	least := math.Inf(1)
	for _, c := range o.contours {
		ps := c.prims()
		for i := range ps {
			p, next := &ps[i], &ps[(i+1)%len(ps)]
			least = min(least, p.leastRadius(sign))
			switch turn := sign * corner(p, next); {
			case turn >= sharp:
				least = 0
			case turn > smooth && p.kind == line && next.kind == line:
				short := min(p.b.minus(p.a).len(), next.b.minus(next.a).len())
				least = min(least, short/2/math.Tan(turn/2))
			}
		}
	}
	if math.IsInf(least, 1) {
		return 0, false
	}
	return geometry.Length(math.Round(least)), true
}

// curveSamples is how many places of a cubic are looked at for its least
// radius; between them the radius is refined.
const curveSamples = 32

func (p *prim) leastRadius(sign float64) float64 {
	switch {
	case p.kind == arc && p.sweep*sign > 0:
		return p.r
	case p.kind != cubic:
		return math.Inf(1)
	}
	bendAt := func(t float64) float64 { // signed curvature, 1/nm
		d := p.derivative(t)
		n := d.len()
		if n < 1 {
			return 0
		}
		return sign * d.cross(p.second(t)) / (n * n * n)
	}
	best, where := 0.0, 0.0
	for i := range curveSamples + 1 {
		if t := float64(i) / curveSamples; bendAt(t) > best {
			best, where = bendAt(t), t
		}
	}
	for step := 0.5 / curveSamples; step > 1e-9; step /= 2 {
		for _, t := range [...]float64{where - step, where + step} {
			if t >= 0 && t <= 1 && bendAt(t) > best {
				best, where = bendAt(t), t
			}
		}
	}
	// A straight piece, as far as a frame's length can tell, has no radius.
	if best < 1/float64(100*geometry.Metre) {
		return math.Inf(1)
	}
	return 1 / best
}
