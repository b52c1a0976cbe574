package outline

import "math"

// smooth is the turn, in radians, under which two segments run into each other
// without a corner. Rounding both ends of a segment of a tenth of a millimetre
// turns it by at most 1.4e-5.
const smooth = 2e-5

// parallel gives the exact offset of a convex contour of lines and arcs, and
// whether there is one: growing always works, shrinking as long as nothing
// vanishes, which is sure when no corner is sharp and no arc's radius is used
// up.
func (c Contour) parallel(d float64) (Contour, bool) {
	ps := c.prims()
	for i := range ps {
		p, next := &ps[i], &ps[(i+1)%len(ps)]
		if p.kind == cubic || p.kind == arc && (p.sweep < 0 || p.r+d <= 1) {
			return Contour{}, false
		}
		if turn := corner(p, next); turn < -smooth || d < 0 && turn > smooth {
			return Contour{}, false
		}
	}
	if !convexTurn(ps) {
		return Contour{}, false
	}
	moved := func(p *prim, t float64) vec { return p.point(t).plus(p.tangent(t).left().times(-d)) }
	out := Contour{Start: nearest(moved(&ps[0], 0))}
	for i := range ps {
		p, next := &ps[i], &ps[(i+1)%len(ps)]
		end := nearest(moved(p, 1))
		if p.kind == arc {
			out.Arc(end, math.Tan(p.sweep/4))
		} else {
			out.Line(end)
		}
		begin := nearest(moved(next, 0))
		if turn := corner(p, next); turn > smooth {
			out.Arc(begin, math.Tan(turn/4))
		} else if begin != end { // they differ by rounding only
			out.Segments[len(out.Segments)-1].To = begin
		}
	}
	kept, err := out.clean()
	return kept, err == nil
}

// corner gives the signed turn between the end of p and the start of q.
func corner(p, q *prim) float64 {
	e, f := p.tangent(1), q.tangent(0)
	return math.Atan2(e.cross(f), e.dot(f))
}

// convexTurn reports whether all turns are positive and make one full turn.
func convexTurn(ps []prim) bool {
	total := 0.0
	for i := range ps {
		turn := corner(&ps[i], &ps[(i+1)%len(ps)])
		if turn < -smooth {
			return false
		}
		total += turn + ps[i].sweep
	}
	return math.Abs(total-2*math.Pi) < 1e-3
}
