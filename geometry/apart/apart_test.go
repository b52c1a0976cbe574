package apart

import (
	"math"
	"testing"
)

// Lengths are in nanometres, named in millimetres.
func ring(corners ...float64) []Point {
	var out []Point
	for i := 0; i < len(corners); i += 2 {
		out = append(out, move(corners[i], corners[i+1]))
	}
	return out
}

func move(x, y float64) Point { return Point{math.Round(x * 1e6), math.Round(y * 1e6)} }

var (
	square  = New(ring(0, 0, 20, 0, 20, 20, 0, 20))
	window  = New(ring(0, 0, 40, 0, 40, 40, 0, 40), ring(10, 10, 30, 10, 30, 30, 10, 30))
	chevron = New(ring(0, 20, 30, 0, 60, 20, 60, 40, 30, 20, 0, 40))
	slanted = New(ring(20, 0, 60, 0, 40, 30, 0, 30))
)

// TestOverlap: areas that plain geometry gives.
func TestOverlap(t *testing.T) {
	for _, c := range []struct {
		name  string
		a, b  *Shape
		by    Point
		area  float64 // mm2
		depth float64 // mm
	}{
		{"squares side by side", square, square, move(20, 0), 0, 0},
		{"squares corner to corner", square, square, move(20, 20), 0, 0},
		{"squares far off", square, square, move(50, 0), 0, 0},
		{"squares by a half", square, square, move(10, 0), 200, 5},
		{"the same square", square, square, move(0, 0), 400, 10},
		{"a square in the window", window, square, move(10, 10), 0, 0},
		{"a square off the window", window, square, move(12, 10), 40, 1},
		{"a square in a square", New(ring(-10, -10, 30, -10, 30, 30, -10, 30)), square, move(0, 0), 400, 10},
		{"chevrons stacked", chevron, chevron, move(0, 20), 0, 0},
		// A band 1 mm tall around and 60 mm long across; across it is 30/hypot(20, 30).
		{"chevrons 1 mm inside each other", chevron, chevron, move(0, 19), 60, 0.5 * 30 / math.Hypot(20, 30)},
		{"parallelograms side by side", slanted, slanted, move(40, 0), 0, 0},
		{"parallelograms 1 mm inside each other", slanted, slanted, move(39, 0), 30, 0.5 * 30 / math.Hypot(20, 30)},
		{"parallelograms 1 nm inside each other", slanted, slanted, move(39.999999, 0), 30e-6, 0.5e-6 * 30 / math.Hypot(20, 30)},
	} {
		area, depth := c.a.Overlap(c.b.Moved(c.by))
		if math.Abs(area/1e12-c.area) > 1e-9 {
			t.Errorf("%s: %g mm2, want %g", c.name, area/1e12, c.area)
		}
		if math.Abs(depth/1e6-c.depth) > 0.01*c.depth+1e-9 {
			t.Errorf("%s: %g mm deep, want %g", c.name, depth/1e6, c.depth)
		}
	}
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		name string
		by   Point
		want float64
	}{
		{"side by side", move(23, 5), 3},
		{"corner to corner, 3-4-5", move(23, 24), 5},
		{"touching", move(20, 0), 0},
		{"beyond the limit", move(40, 0), 10},
	} {
		if got := square.Distance(square.Moved(c.by), 10e6) / 1e6; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g mm, want %g", c.name, got, c.want)
		}
	}
}

// TestMeasureClosesTheRing: labels of two frames meet at the seam.
func TestMeasureClosesTheRing(t *testing.T) {
	frame := []Placed{{square, move(0, 1)}, {square, move(0, 25)}}
	if got := Measure(frame, 46e6, 10e6); got.Distance != 2e6 || !got.Next || got.Depth > 0 {
		t.Errorf("46 mm: %+v, want 2 mm across the seam", got)
	}
	if got := Measure(frame, 43e6, 10e6); got.Depth <= 1000 || !got.Next || math.Abs(got.Area/1e12-20) > 1e-9 {
		t.Errorf("43 mm: %+v, want an overlap of 1 mm across the seam", got)
	}
	if got := Measure([]Placed{{square, move(0, 0)}}, 19e6, 10e6); got.Depth <= 1000 {
		t.Errorf("a label on its own next one: %+v", got)
	}
}
