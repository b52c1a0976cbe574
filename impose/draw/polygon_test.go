package draw

import (
	"math"
	"testing"

	"quoin/geometry"
)

// Areas and lengths by the formulas of school.
func TestAreaAndLengthOfPaths(t *testing.T) {
	mm := geometry.Millimetre
	ring := Ellipse(geometry.Box{Max: geometry.Position{Across: 20 * mm, Around: 20 * mm}})
	ring.Append(turnedBack(Ellipse(geometry.Box{Min: geometry.Position{Across: 5 * mm, Around: 5 * mm}, Max: geometry.Position{Across: 15 * mm, Around: 15 * mm}})))
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"a box", Rectangle(geometry.Box{Max: geometry.Position{Across: 50 * mm, Around: 75 * mm}}).Area(), 3750},
		{"an ellipse", Ellipse(geometry.Box{Max: geometry.Position{Across: 20 * mm, Around: 40 * mm}}).Area(), math.Pi * 10 * 20},
		{"a ring", ring.Area(), math.Pi * (100 - 25)},
		{"a line", Segment(geometry.Position{}, geometry.Position{Across: 3 * mm, Around: 4 * mm}).LengthMM(), 5},
	} {
		if math.Abs(c.got-c.want) > c.want/200 {
			t.Errorf("%s has %.3f, want %.3f", c.what, c.got, c.want)
		}
	}
}

// turnedBack gives the same closed path, run the other way.
func turnedBack(p Path) Path {
	parts := p.Polygons()
	var out Path
	for _, part := range parts {
		out.Move(part[len(part)-1])
		for i := len(part) - 2; i >= 0; i-- {
			out.Line(part[i])
		}
		out.Close()
	}
	return out
}
