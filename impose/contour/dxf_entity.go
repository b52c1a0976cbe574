package contour

import (
	"math"

	"quoin/geometry"
	"quoin/geometry/outline"
)

func (x *dxf) line(r record) error {
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
	return x.add(r, c, false)
}

func (x *dxf) circle(r record) error {
	v, err := r.numbers(10, 20, 40)
	if err != nil {
		return err
	}
	return x.round(r, v[0], v[1], v[2], 0, 2*math.Pi, true)
}

// arc runs counter-clockwise from the first angle to the second, in degrees.
func (x *dxf) arc(r record) error {
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
func (x *dxf) round(r record, cx, cy, radius, from, sweep float64, closed bool) error {
	side, err := r.plane()
	if err != nil {
		return err
	}
	if radius <= 0 {
		return refuse(r.line, "a radius is more than 0", "the %s has a radius of %g", r.name, radius)
	}
	var c outline.Contour
	for i := range 3 {
		sin, cos := math.Sincos(from + sweep*float64(i)/2)
		p, err := x.position(r, side*(cx+radius*cos), cy+radius*sin)
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
		// Counter-clockwise as drawn is negative for us, unless seen from behind.
		c.Arc(p, -side*math.Tan(sweep/8))
	}
	return x.add(r, c, closed)
}

// vertex is a corner of a polyline with the bulge of what follows it.
type vertex struct{ x, y, bulge float64 }

func (x *dxf) lightPolyline(r record) error {
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

func (x *dxf) polyline(r record, vertices []record) error {
	flags, err := r.number(70, 0)
	if err != nil {
		return err
	}
	if int(flags)&polylineMesh != 0 {
		x.drawing.skip("POLYLINE mesh")
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
func (x *dxf) corners(r record, vs []vertex, closed bool) error {
	side, err := r.plane()
	if err != nil {
		return err
	}
	if len(vs) < 2 {
		x.drawing.skip(r.name + " of one corner")
		return nil
	}
	var c outline.Contour
	if c.Start, err = x.position(r, side*vs[0].x, vs[0].y); err != nil {
		return err
	}
	add := func(to geometry.Position, bulge float64) error {
		if math.Abs(bulge) > outline.MaxBulge {
			return refuse(r.line, "draw nearly full circles as two arcs", "the %s has the bulge %g; that of a half circle is 1", r.name, bulge)
		}
		c.Arc(to, -side*bulge)
		return nil
	}
	for i, v := range vs[1:] {
		p, err := x.position(r, side*v.x, v.y)
		if err != nil {
			return err
		}
		if err := add(p, vs[i].bulge); err != nil {
			return err
		}
	}
	if last := vs[len(vs)-1]; closed && (c.Segments[len(c.Segments)-1].To != c.Start || last.bulge != 0) {
		if err := add(c.Start, last.bulge); err != nil {
			return err
		}
	}
	return x.add(r, c, closed)
}

// ellipse runs between two parameters along centre + u cos t + v sin t.
func (x *dxf) ellipse(r record) error {
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
	reach := long * (1 + n[4])
	for _, s := range [...]float64{1, -1} {
		if _, err := x.position(r, n[0]+s*reach, n[1]+s*reach); err != nil {
			return err
		}
	}
	u := float64(x.unit)
	c := outline.EllipseArc(n[0]*u, -n[1]*u, n[2]*u, -n[3]*u, -side*n[3]*n[4]*u, -side*n[2]*n[4]*u, from, from+sweep)
	return x.add(r, c, sweep > 2*math.Pi-1e-9)
}
