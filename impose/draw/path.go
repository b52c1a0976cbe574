package draw

import (
	"slices"

	"quoin/geometry"
)

// Verb tells what a path does next.
type Verb uint8

// The verbs, with how many positions each takes.
const (
	MoveTo  Verb = iota // 1
	LineTo              // 1
	CurveTo             // 3: two control points and the end of a cubic curve
	Close               // 0
)

// Points returns how many positions the verb takes.
func (v Verb) Points() int { return [...]int{1, 1, 3, 0}[v] }

// String returns the verb's letter, as path notations have it: M, L, C or Z.
func (v Verb) String() string { return [...]string{"M", "L", "C", "Z"}[v] }

// Path is a list of lines and cubic curves on the frame.
type Path struct {
	Verbs  []Verb
	Points []geometry.Position
}

// Move starts a new part at p.
func (p *Path) Move(to geometry.Position) { p.addSegment(MoveTo, to) }

// Line goes straight to p.
func (p *Path) Line(to geometry.Position) { p.addSegment(LineTo, to) }

// Curve goes to a position with two control points.
func (p *Path) Curve(c1, c2, to geometry.Position) { p.addSegment(CurveTo, c1, c2, to) }

// Close goes back to the start of the part.
func (p *Path) Close() { p.addSegment(Close) }

func (p *Path) addSegment(v Verb, pts ...geometry.Position) {
	p.Verbs = append(p.Verbs, v)
	p.Points = append(p.Points, pts...)
}

// Append adds another path behind this one.
func (p *Path) Append(q Path) {
	p.Verbs = append(p.Verbs, q.Verbs...)
	p.Points = append(p.Points, q.Points...)
}

// Moved returns the path moved by s.
func (p Path) Moved(s geometry.Size) Path {
	q := Path{Verbs: p.Verbs, Points: make([]geometry.Position, len(p.Points))}
	for i, pt := range p.Points {
		q.Points[i] = pt.Add(s)
	}
	return q
}

// Bounds returns the box over all points, control points included: never too
// small, exact for straight lines.
func (p Path) Bounds() geometry.Box {
	if len(p.Points) == 0 {
		return geometry.Box{}
	}
	b := geometry.Box{Min: p.Points[0], Max: p.Points[0]}
	for _, q := range p.Points[1:] {
		b.Min.Across, b.Max.Across = min(b.Min.Across, q.Across), max(b.Max.Across, q.Across)
		b.Min.Around, b.Max.Around = min(b.Min.Around, q.Around), max(b.Max.Around, q.Around)
	}
	return b
}

// Box returns the box whose outline the path is, as Rectangle draws it.
func (p Path) Box() (geometry.Box, bool) {
	b := p.Bounds()
	r := Rectangle(b)
	return b, slices.Equal(p.Verbs, r.Verbs) && slices.Equal(p.Points, r.Points)
}

// Rectangle returns the outline of a box.
func Rectangle(b geometry.Box) Path {
	var p Path
	p.Move(b.Min)
	p.Line(geometry.Position{Across: b.Max.Across, Around: b.Min.Around})
	p.Line(b.Max)
	p.Line(geometry.Position{Across: b.Min.Across, Around: b.Max.Around})
	p.Close()
	return p
}

// Segment returns a straight line.
func Segment(from, to geometry.Position) Path {
	var p Path
	p.Move(from)
	p.Line(to)
	return p
}

// kappa places the control points of a quarter circle: 4/3 (sqrt 2 - 1). The
// curve is off the circle by at most 0.027 % of the radius.
const kappa = 0.5522847498307936

// Ellipse returns the ellipse that touches the sides of a box.
func Ellipse(b geometry.Box) Path {
	c, s := b.Centre(), b.Size()
	ra, rr := s.Across/2, s.Around/2
	ka, kr := geometry.Length(kappa*float64(ra)), geometry.Length(kappa*float64(rr))
	at := func(a, r geometry.Length) geometry.Position {
		return geometry.Position{Across: c.Across + a, Around: c.Around + r}
	}
	var p Path
	p.Move(at(ra, 0))
	p.Curve(at(ra, kr), at(ka, rr), at(0, rr))
	p.Curve(at(-ka, rr), at(-ra, kr), at(-ra, 0))
	p.Curve(at(-ra, -kr), at(-ka, -rr), at(0, -rr))
	p.Curve(at(ka, -rr), at(ra, -kr), at(ra, 0))
	p.Close()
	return p
}
