package contour

import (
	"math"
	"testing"

	"quoin/geometry"
	"quoin/geometry/outline"
)

const mm = geometry.Millimetre

func at(x, y float64) geometry.Position {
	return geometry.Position{Across: geometry.FromMM(x), Around: geometry.FromMM(y)}
}

func need(t testing.TB) func(outline.Outline, error) outline.Outline {
	return func(o outline.Outline, err error) outline.Outline {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
}

// shapes are outlines of our own with every kind of segment, all with their
// bounds at the origin.
func shapes(t testing.TB) map[string]outline.Outline {
	ok := need(t)
	heart := outline.Contour{Start: at(20, 8)}
	heart.Curve(at(24, -4), at(42, -2), at(40, 14))
	heart.Curve(at(39, 24), at(28, 32), at(20, 40))
	heart.Curve(at(12, 32), at(1, 24), at(0, 14))
	heart.Curve(at(-2, -2), at(16, -4), at(20, 8))
	key := outline.Contour{Start: at(0, 0)}
	key.Line(at(9, 0))
	key.Line(at(9, 5))
	key.Arc(at(11, 5), -(5 + math.Sqrt(24))) // a round hollow behind a neck
	key.Line(at(11, 0))
	key.Line(at(20, 0))
	key.Line(at(20, 30))
	key.Line(at(0, 30))
	key.Close()
	ring := ok(outline.Rectangle(geometry.Size{Across: 40 * mm, Around: 40 * mm}, 4*mm))
	hole := ok(outline.Circle(10 * mm)).Moved(geometry.Size{Across: 15 * mm, Around: 12 * mm})
	return map[string]outline.Outline{
		"rectangle": ok(outline.Rectangle(geometry.Size{Across: 50 * mm, Around: 75 * mm}, 3*mm)),
		"sharp":     ok(outline.Rectangle(geometry.Size{Across: 50*mm + 1, Around: 75 * mm}, 0)),
		"circle":    ok(outline.Circle(40*mm + 2)),
		"ellipse":   ok(outline.Ellipse(geometry.Size{Across: 60 * mm, Around: 35 * mm})),
		"heart":     ok(outline.New(heart)).At(at(0, 0)),
		"keyhole":   ok(outline.New(key)),
		"ring":      ok(outline.New(ring.Contours()[0], hole.Contours()[0])),
	}
}

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s is %.9g, want %.9g within %g", what, got, want, within)
	}
}

// alike compares two outlines by what can be measured.
func alike(t testing.TB, what string, got, want outline.Outline, within geometry.Length) {
	t.Helper()
	near(t, what+": area", got.Area(), want.Area(), within.MM()*want.Perimeter()+1e-9)
	a, b := got.Bounds(), want.Bounds()
	if !a.Outset(within).Contains(b) || !b.Outset(within).Contains(a) {
		t.Errorf("%s: bounds %v, want %v", what, a, b)
	}
	if len(got.Contours()) != len(want.Contours()) {
		t.Errorf("%s: %d contours, want %d", what, len(got.Contours()), len(want.Contours()))
	}
}
