package contour

import (
	"math"

	"quoin/geometry"
	"quoin/geometry/outline"
)

func (x *dxfPen) line(r record) error {
	v, err := r.numbers(10, 20, 11, 21)
	if err != nil {
		return err
	}
	var c outline.Contour
	if c.Start, err = x.position(r, v[0], v[1]); err != nil {
		return err
	}
	to, err := x.position(r, v[2], v[3])
	if err != nil {
		return err
	}
	c.Line(to)
	return x.addContour(r, c, false)
}

func (x *dxfPen) circle(r record) error {
	v, err := r.numbers(10, 20, 40)
	if err != nil {
		return err
	}
	return x.round(r, v[0], v[1], v[2], 0, 2*math.Pi, true)
}

// arc runs counter-clockwise from the first angle to the second, in degrees.
func (x *dxfPen) arc(r record) error {
	v, err := r.numbers(10, 20, 40, 50, 51)
	if err != nil {
		return err
	}
	from := v[3] * math.Pi / 180
	sweep := math.Mod((v[4]-v[3])*math.Pi/180, 2*math.Pi)
	if sweep <= 0 {
		sweep += 2 * math.Pi
	}
	return x.round(r, v[0], v[1], v[2], from, sweep, false)
}

// round adds an arc in two halves, so that no bulge is larger than 1.
func (x *dxfPen) round(r record, cx, cy, radius, from, sweep float64, closed bool) error {
	if err := x.flat(r); err != nil {
		return err
	}
	if radius <= 0 {
		return refuse(r.line, "a radius is more than 0", "the %s has a radius of %g", r.name, radius)
	}
	even, mirrored := x.to.keepsCircles()
	if !even {
		return x.elliptic(r, cx, cy, [4]float64{radius, 0, 0, radius}, from, sweep, closed)
	}
	var c outline.Contour
	for i := range 3 {
		sin, cos := math.Sincos(from + sweep*float64(i)/2)
		p, err := x.position(r, cx+radius*cos, cy+radius*sin)
		if err != nil {
			return err
		}
		if i == 0 {
			c.Start = p
			continue
		}
		if closed && i == 2 {
			p = c.Start
		}
		c.Arc(p, bulged(math.Tan(sweep/8), mirrored))
	}
	return x.addContour(r, c, closed)
}

// bulged returns a bulge as seen. Counter-clockwise as drawn is positive; so it is
// for us, unless the way from the drawing to us mirrors, as its y does that runs
// upwards.
func bulged(bulge float64, mirrored bool) float64 {
	if mirrored {
		return -bulge
	}
	return bulge
}

// elliptic adds what runs along centre + u cos t + v sin t, the axes being
// ux, uy, vx, vy.
func (x *dxfPen) elliptic(r record, cx, cy float64, axes [4]float64, from, sweep float64, closed bool) error {
	reach := math.Abs(axes[0]) + math.Abs(axes[1]) + math.Abs(axes[2]) + math.Abs(axes[3])
	for _, s := range [...]float64{1, -1} {
		if _, err := x.position(r, cx+s*reach, cy+s*reach); err != nil {
			return err
		}
	}
	t := x.to
	ox, oy := t.point(cx, cy)
	c := outline.EllipseArc(ox, oy, t.a*axes[0]+t.c*axes[1], t.b*axes[0]+t.d*axes[1], t.a*axes[2]+t.c*axes[3], t.b*axes[2]+t.d*axes[3], from, from+sweep)
	return x.addContour(r, c, closed)
}

// vertex is a corner of a polyline with the bulge of what follows it.
type vertex struct{ x, y, bulge float64 }

func (x *dxfPen) lightPolyline(r record) error {
	var vs []vertex
	for _, t := range r.tags {
		switch t.code {
		case 10, 20, 42:
		default:
			continue
		}
		v, err := t.number(r.name)
		if err != nil {
			return err
		}
		if t.code == 10 {
			vs = append(vs, vertex{x: v})
			continue
		}
		if len(vs) == 0 {
			return refuse(t.line, "the file is damaged: export it again", "the LWPOLYLINE has a value before its first corner")
		}
		if t.code == 20 {
			vs[len(vs)-1].y = v
		} else {
			vs[len(vs)-1].bulge = v
		}
	}
	flags, err := r.number(70, 0)
	if err != nil {
		return err
	}
	return x.corners(r, vs, int(flags)&1 != 0)
}

// The flags of a POLYLINE and of its VERTEX that matter here.
const (
	polylineClosed = 1
	polylineMesh   = 16 | 64
	vertexControl  = 16 // a corner of the frame around a fitted curve
)

func (x *dxfPen) polyline(r record, vertices []record) error {
	flags, err := r.number(70, 0)
	if err != nil {
		return err
	}
	if int(flags)&polylineMesh != 0 {
		x.drawing.skip(byName("POLYLINE mesh"))
		return nil
	}
	var vs []vertex
	for _, v := range vertices {
		kind, err := v.number(70, 0)
		if err != nil {
			return err
		}
		if int(kind)&vertexControl != 0 {
			continue
		}
		at, err := v.numbers(10, 20)
		if err != nil {
			return err
		}
		bulge, err := v.number(42, 0)
		if err != nil {
			return err
		}
		vs = append(vs, vertex{at[0], at[1], bulge})
	}
	return x.corners(r, vs, int(flags)&polylineClosed != 0)
}

// corners adds a polyline.
func (x *dxfPen) corners(r record, vs []vertex, closed bool) error {
	if err := x.flat(r); err != nil {
		return err
	}
	if len(vs) < 2 {
		x.drawing.skip(byName(r.name + " of one corner"))
		return nil
	}
	even, mirrored := x.to.keepsCircles()
	var c outline.Contour
	var err error
	if c.Start, err = x.position(r, vs[0].x, vs[0].y); err != nil {
		return err
	}
	add := func(from, next vertex, to geometry.Position) error {
		switch {
		case math.Abs(from.bulge) > outline.MaxBulge:
			return refuse(r.line, "draw nearly full circles as two arcs", "the %s has the bulge %g; that of a half circle is 1", r.name, from.bulge)
		case from.bulge == 0 || even:
			c.Arc(to, bulged(from.bulge, mirrored))
		default:
			x.stretched(&c, from, next, to)
		}
		return nil
	}
	for i, v := range vs[1:] {
		p, err := x.position(r, v.x, v.y)
		if err != nil {
			return err
		}
		if err := add(vs[i], v, p); err != nil {
			return err
		}
	}
	if last := vs[len(vs)-1]; closed && (c.Segments[len(c.Segments)-1].To != c.Start || last.bulge != 0) {
		if err := add(last, vs[0], c.Start); err != nil {
			return err
		}
	}
	return x.addContour(r, c, closed)
}

// stretched adds an arc that a block's scale made part of an ellipse.
func (x *dxfPen) stretched(c *outline.Contour, from, next vertex, to geometry.Position) {
	// The centre lies off the chord's middle by (1 - b2)/(4b) of the chord, to its
	// left where the arc bulges to the right.
	dx, dy := next.x-from.x, next.y-from.y
	off := (1 - from.bulge*from.bulge) / (4 * from.bulge)
	cx, cy := (from.x+next.x)/2-dy*off, (from.y+next.y)/2+dx*off
	ux, uy := from.x-cx, from.y-cy
	t := x.to
	ox, oy := t.point(cx, cy)
	e := outline.EllipseArc(ox, oy, t.a*ux+t.c*uy, t.b*ux+t.d*uy, -t.a*uy+t.c*ux, -t.b*uy+t.d*ux, 0, 4*math.Atan(from.bulge))
	e.Segments[len(e.Segments)-1].To = to
	c.Segments = append(c.Segments, e.Segments...)
}

// ellipse runs between two parameters along centre + u cos t + v sin t, v
// standing upright on u about the normal of its plane.
func (x *dxfPen) ellipse(r record) error {
	n, err := r.numbers(10, 20, 11, 21, 40)
	if err != nil {
		return err
	}
	side, err := r.plane()
	if err != nil {
		return err
	}
	from, err := r.number(41, 0)
	if err != nil {
		return err
	}
	to, err := r.number(42, 2*math.Pi)
	if err != nil {
		return err
	}
	sweep := math.Mod(to-from, 2*math.Pi)
	if sweep <= 1e-9 {
		sweep += 2 * math.Pi
	}
	long := math.Hypot(n[2], n[3])
	if long == 0 || n[4] <= 0 || n[4] > 1e3 {
		return refuse(r.line, "both are more than 0", "the ELLIPSE has a half axis of %g and the ratio %g", long, n[4])
	}
	return x.elliptic(r, n[0], n[1], [4]float64{n[2], n[3], -side * n[3] * n[4], side * n[2] * n[4]}, from, sweep, sweep > 2*math.Pi-1e-9)
}
