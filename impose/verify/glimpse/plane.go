package glimpse

import "math"

// point and box are in pixels of the page, y down, unless it is said otherwise.
type point struct{ x, y float64 }

type box struct{ x0, y0, x1, y1 float64 }

var nowhere = box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

func (b *box) include(p point) {
	b.x0, b.y0 = min(b.x0, p.x), min(b.y0, p.y)
	b.x1, b.y1 = max(b.x1, p.x), max(b.y1, p.y)
}

func (b box) meets(c box) bool { return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 }

func (b box) within(c box) box {
	return box{max(b.x0, c.x0), max(b.y0, c.y0), min(b.x1, c.x1), min(b.y1, c.y1)}
}

func (b box) grown(by float64) box { return box{b.x0 - by, b.y0 - by, b.x1 + by, b.y1 + by} }

// matrix is a transformation, [a b c d e f] of ISO 32000-1 8.3.3.
type matrix [6]float64

// then returns the matrix that does m first, and n to what comes out.
func (m matrix) then(n matrix) matrix {
	return matrix{
		m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3],
		m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3],
		m[4]*n[0] + m[5]*n[2] + n[4], m[4]*n[1] + m[5]*n[3] + n[5],
	}
}

func (m matrix) of(p point) point {
	return point{m[0]*p.x + m[2]*p.y + m[4], m[1]*p.x + m[3]*p.y + m[5]}
}

// bounds returns the box around a box that is transformed.
func (m matrix) bounds(b box) box {
	out := nowhere
	for _, p := range []point{{b.x0, b.y0}, {b.x1, b.y0}, {b.x0, b.y1}, {b.x1, b.y1}} {
		out.include(m.of(p))
	}
	return out
}

// stretch returns the most by which the matrix lengthens anything.
func (m matrix) stretch() float64 {
	return math.Max(math.Hypot(m[0], m[1]), math.Hypot(m[2], m[3])) * math.Sqrt2
}

// polygon is a subpath in pixels, its curves flattened.
type polygon []point

// outline is a path.
type outline struct {
	parts  []polygon
	bounds box
	last   point // in the space of the path
	start  point
}

func newOutline() *outline { return &outline{bounds: nowhere} }

func (o *outline) move(m matrix, p point) {
	o.parts = append(o.parts, polygon{m.of(p)})
	o.bounds.include(m.of(p))
	o.last, o.start = p, p
}

// line reports whether there is a point that it goes on from.
func (o *outline) line(m matrix, p point) bool {
	if len(o.parts) == 0 {
		return false
	}
	q := m.of(p)
	n := len(o.parts) - 1
	o.parts[n] = append(o.parts[n], q)
	o.bounds.include(q)
	o.last = p
	return true
}

// curvePieces is how many lines a curve becomes: one of 60 pixels is then missed by
// less than a tenth of one (60 / 8 / 16², the chord of a parabola).
const curvePieces = 16

func (o *outline) curve(m matrix, a, b, c point) bool {
	from := o.last
	for i := 1; i <= curvePieces; i++ {
		t := float64(i) / curvePieces
		u := 1 - t
		p := point{
			u*u*u*from.x + 3*u*u*t*a.x + 3*u*t*t*b.x + t*t*t*c.x,
			u*u*u*from.y + 3*u*u*t*a.y + 3*u*t*t*b.y + t*t*t*c.y,
		}
		if !o.line(m, p) {
			return false
		}
	}
	o.last = c
	return true
}

// close ends a subpath; what is drawn next without a move goes on from its start.
func (o *outline) close(m matrix) bool {
	if len(o.parts) == 0 {
		return false
	}
	start := o.start
	o.line(m, start)
	o.parts = append(o.parts, polygon{m.of(start)})
	return true
}

func (o *outline) rectangle(m matrix, x, y, w, h float64) {
	o.move(m, point{x, y})
	o.line(m, point{x + w, y})
	o.line(m, point{x + w, y + h})
	o.line(m, point{x, y + h})
	o.close(m)
}

// plain reports whether the two rules of what is inside (8.5.3.3) agree for certain:
// each subpath is convex and goes round once, and none meets another.
func (o *outline) plain() bool {
	var boxes []box
	for _, p := range o.parts {
		if len(p) < 3 {
			continue
		}
		if !p.convex() {
			return false
		}
		b := nowhere
		for _, q := range p {
			b.include(q)
		}
		for _, c := range boxes {
			if b.meets(c) {
				return false
			}
		}
		if boxes = append(boxes, b); len(boxes) > 100 {
			return false
		}
	}
	return true
}

// convex reports whether a subpath turns one way only, by one round.
func (p polygon) convex() bool {
	var turned float64
	left, right := false, false
	for i := range p {
		a, b, c := p[i], p[(i+1)%len(p)], p[(i+2)%len(p)]
		if a == b || b == c {
			// A point that comes twice: look past it.
			q := make(polygon, 0, len(p))
			for j := range p {
				if p[j] != p[(j+1)%len(p)] {
					q = append(q, p[j])
				}
			}
			return len(q) < 3 || q.convex()
		}
		cross := (b.x-a.x)*(c.y-b.y) - (b.y-a.y)*(c.x-b.x)
		dot := (b.x-a.x)*(c.x-b.x) + (b.y-a.y)*(c.y-b.y)
		left, right = left || cross > 0, right || cross < 0
		turned += math.Abs(math.Atan2(cross, dot))
	}
	return !(left && right) && turned < 3*math.Pi
}

// cut returns what of a subpath lies in a box, with the same windings there (Sutherland
// and Hodgman, Communications of the ACM 17, 1974; from memory).
func (p polygon) cut(b box) polygon {
	inside := []func(point) float64{
		func(q point) float64 { return q.x - b.x0 }, func(q point) float64 { return b.x1 - q.x },
		func(q point) float64 { return q.y - b.y0 }, func(q point) float64 { return b.y1 - q.y },
	}
	for _, in := range inside {
		var out polygon
		for i := range p {
			a, c := p[i], p[(i+1)%len(p)]
			da, dc := in(a), in(c)
			if da >= 0 {
				out = append(out, a)
			}
			if da >= 0 != (dc >= 0) {
				t := da / (da - dc)
				out = append(out, point{a.x + t*(c.x-a.x), a.y + t*(c.y-a.y)})
			}
		}
		if p = out; len(p) == 0 {
			return nil
		}
	}
	return p
}
