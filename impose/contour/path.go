package contour

import (
	"math"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/draw"
)

// Path returns the outline as a path to fill, stroke or clip along, by the
// nonzero rule: lines and cubic curves as they are, arcs as curves that stray
// from them by less than a millionth of the radius.
func Path(o outline.Outline) draw.Path {
	var p draw.Path
	for _, c := range o.Contours() {
		p.Move(c.Start)
		from := c.Start
		for i, s := range c.Segments {
			switch {
			case s.Curve:
				p.Curve(s.C1, s.C2, s.To)
			case s.Bulge != 0:
				arcPath(&p, from, s)
			case i < len(c.Segments)-1: // Close draws the last line
				p.Line(s.To)
			}
			from = s.To
		}
		p.Close()
	}
	return p
}

// steepest is the angle v that one curve spans at most, a sixteenth of a turn: it
// is off the circle by 2/27 sin^6(v/4) / cos^2(v/4), 6.7e-8 of the radius.
const steepest = math.Pi / 8

func arcPath(p *draw.Path, from geometry.Position, s outline.Segment) {
	sweep := 4 * math.Atan(s.Bulge)
	n := max(1, int(math.Ceil(math.Abs(sweep)/steepest-1e-9)))
	ax, ay, bx, by := float64(from.Across), float64(from.Around), float64(s.To.Across), float64(s.To.Around)
	// The centre lies off the middle of the chord, to the left of its run.
	k := (1 - s.Bulge*s.Bulge) / (4 * s.Bulge)
	cx, cy := (ax+bx)/2-(by-ay)*k, (ay+by)/2+(bx-ax)*k
	r := math.Hypot(ax-cx, ay-cy)
	start, step := math.Atan2(ay-cy, ax-cx), sweep/float64(n)
	reach := 4.0 / 3 * math.Tan(step/4)
	at := func(x, y float64) geometry.Position {
		return geometry.Position{Across: geometry.Length(math.Round(x)), Around: geometry.Length(math.Round(y))}
	}
	sin, cos := math.Sincos(start)
	for i := 1; i <= n; i++ {
		sin2, cos2 := math.Sincos(start + step*float64(i))
		to := at(cx+r*cos2, cy+r*sin2)
		if i == n {
			to = s.To
		}
		p.Curve(at(cx+r*(cos-reach*sin), cy+r*(sin+reach*cos)), at(cx+r*(cos2+reach*sin2), cy+r*(sin2-reach*cos2)), to)
		sin, cos = sin2, cos2
	}
}
