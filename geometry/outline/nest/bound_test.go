package nest

import (
	"math"
	"testing"
)

// TestLeastHexagon: areas that plain geometry gives. Around a circle of the
// radius r the regular hexagon has 2 sqrt 3 r^2; an ellipse is a circle drawn
// out; polygons of up to six sides are their own.
func TestLeastHexagon(t *testing.T) {
	want := map[string]float64{
		"circle": 2 * math.Sqrt(3) * 20 * 20, "ellipse": 2 * math.Sqrt(3) * 30 * 17.5,
		"triangle": 46 * 40 / 2, "trapezoid": 50 * 40, "parallelogram": 40 * 30, "hexagon": 30 * 34,
		"rectangle": 50 * 75, // corners of 3 mm: sides that cut two of them save less than they cost
	}
	for _, s := range shapes(t) {
		area, known := want[s.name]
		corners, convex := convexCorners(s.o)
		if !convex {
			if known {
				t.Errorf("%s is not convex", s.name)
			}
			continue
		}
		got := leastHexagon(corners) / (1 - hexagonMargin)
		slack := 1e-3
		if s.name == "rectangle" {
			slack = 5e-3
		}
		if known && (got < area*(1-slack) || got > area*(1+1e-3)) {
			t.Errorf("%s: %g mm2, want %g", s.name, got, area)
		}
	}
}

// TestBoundOfCircles: N circles to the metre of a wide band come within a few
// percent of the bound, and never past it; TestNeverWorse holds other shapes against theirs.
func TestBoundOfCircles(t *testing.T) {
	r := circles(t, 3000, 40, 3, 980, Running)
	if r.BoundBy != "the least hexagon around a label with its gaps" {
		t.Errorf("by %s", r.BoundBy)
	}
	want := 3003 * 1000 / (2 * math.Sqrt(3) * 21.5 * 21.5)
	if r.Bound < want || r.Bound > want*1.003 {
		t.Errorf("the bound is %g labels to the metre, want %g", r.Bound, want)
	}
	if share := r.Best().PerMetre() / r.Bound; share < 0.97 || share > 1 {
		t.Errorf("the best reaches %.4f of the bound", share)
	}
}
