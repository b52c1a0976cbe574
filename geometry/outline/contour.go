package outline

import (
	"fmt"
	"math"
	"strings"

	"quoin/geometry"
)

// Reach is the farthest from the origin that a contour may lie in either
// direction. No label is longer than a frame, which is about a metre; ten of
// them keep every product of two differences inside the 53 bits and the nine
// digits after the millimetre that float64 gives to distances.
const Reach = 10 * geometry.Metre

// Segment is one piece of a contour, from where the last one ended.
type Segment struct {
	To geometry.Position
	// Bulge makes the segment a circular arc: the tangent of a quarter of its
	// angle, so 1 is a half circle and sqrt(2)-1 a quarter. It is positive for an
	// arc that turns from Across towards Around, clockwise as seen; 0 is straight.
	Bulge float64
	// Curve makes the segment a cubic curve with the control points C1 and C2;
	// Bulge is then ignored.
	Curve  bool
	C1, C2 geometry.Position
}

// Contour is a closed line: the last segment ends at Start.
type Contour struct {
	Start    geometry.Position
	Segments []Segment
}

// Polygon returns the contour with straight sides between corners.
func Polygon(first geometry.Position, corners ...geometry.Position) Contour {
	c := Contour{Start: first}
	for _, p := range corners {
		c.Line(p)
	}
	c.Close()
	return c
}

// Line adds a straight line.
func (c *Contour) Line(to geometry.Position) { c.Segments = append(c.Segments, Segment{To: to}) }

// Arc adds a circular arc; see Segment for the bulge.
func (c *Contour) Arc(to geometry.Position, bulge float64) {
	c.Segments = append(c.Segments, Segment{To: to, Bulge: bulge})
}

// Curve adds a cubic curve.
func (c *Contour) Curve(c1, c2, to geometry.Position) {
	c.Segments = append(c.Segments, Segment{To: to, Curve: true, C1: c1, C2: c2})
}

// Close adds the straight line back to the start, unless the end is there.
func (c *Contour) Close() {
	if n := len(c.Segments); n > 0 && c.Segments[n-1].To != c.Start {
		c.Line(c.Start)
	}
}

// end gives where the contour has arrived.
func (c *Contour) end() geometry.Position {
	if n := len(c.Segments); n > 0 {
		return c.Segments[n-1].To
	}
	return c.Start
}

// Reversed returns the contour run the other way.
func (c Contour) Reversed() Contour {
	r := Contour{Start: c.end(), Segments: make([]Segment, 0, len(c.Segments))}
	for i := len(c.Segments) - 1; i >= 0; i-- {
		s := c.Segments[i]
		to := c.Start
		if i > 0 {
			to = c.Segments[i-1].To
		}
		r.Segments = append(r.Segments, Segment{To: to, Bulge: -s.Bulge, Curve: s.Curve, C1: s.C2, C2: s.C1})
	}
	return r
}

// mapped gives the contour with every position changed by f, which must keep
// the sense of turning.
func (c Contour) mapped(f func(geometry.Position) geometry.Position) Contour {
	m := Contour{Start: f(c.Start), Segments: make([]Segment, len(c.Segments))}
	for i, s := range c.Segments {
		m.Segments[i] = Segment{To: f(s.To), Bulge: s.Bulge, Curve: s.Curve}
		if s.Curve {
			m.Segments[i].C1, m.Segments[i].C2 = f(s.C1), f(s.C2)
		}
	}
	return m
}

// clean drops segments of no length and says what no contour may have.
func (c Contour) clean() (Contour, error) {
	kept := Contour{Start: c.Start}
	from := c.Start
	for _, s := range c.Segments {
		if math.IsNaN(s.Bulge) || math.Abs(s.Bulge) > MaxBulge {
			return c, &Fault{fmt.Sprintf("an arc has the bulge %g; a nearly full circle is drawn as two halves", s.Bulge), s.To}
		}
		for _, p := range [...]geometry.Position{from, s.To, s.C1, s.C2} {
			if max(p.Across, -p.Across, p.Around, -p.Around) > Reach {
				return c, &Fault{fmt.Sprintf("the contour goes farther than %s from the origin", Reach), p}
			}
		}
		if s.To == from && !(s.Curve && (s.C1 != from || s.C2 != from)) {
			continue
		}
		kept.Segments = append(kept.Segments, s)
		from = s.To
	}
	if len(kept.Segments) == 0 {
		return c, &Fault{"the contour has no length", c.Start}
	}
	if from != c.Start {
		return c, &Fault{"the contour is open: it does not come back to its start", c.Start}
	}
	return kept, nil
}

// MaxBulge allows arcs of up to 359.5 degrees; beyond it the centre of the arc
// would hang on the last digits of its ends.
const MaxBulge = 1000

// Fault says what is wrong with a contour, and where.
type Fault struct {
	Why string
	At  geometry.Position
}

func (f *Fault) Error() string {
	return fmt.Sprintf("%s, at %s, %s", f.Why, strings.TrimSuffix(f.At.Across.String(), " mm"), f.At.Around)
}
