package outline

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
)

// TestCompare: differences that plain geometry gives.
func TestCompare(t *testing.T) {
	ok := need(t)
	square := ok(Rectangle(size(40*mm, 40*mm), 0))
	round := ok(Rectangle(size(40*mm, 40*mm), 5*mm))
	circle := ok(Circle(40 * mm))
	leaf := heart(t)
	tab := ok(New(Polygon(pos(0, 0), pos(40*mm, 0), pos(40*mm, 40*mm), pos(22*mm, 40*mm), pos(21*mm, 40*mm-300*geometry.Micrometre), pos(20*mm, 40*mm), pos(0, 40*mm))))
	for _, c := range []struct {
		name string
		a, b Outline
		want float64 // mm
		at   geometry.Position
	}{
		{"the same", leaf, leaf, 0, geometry.Position{}},
		{"the same, moved", leaf, leaf.Moved(size(7*mm, -3*mm)), 0, geometry.Position{}},
		{"round corners", square, round, 5 * (math.Sqrt2 - 1), geometry.Position{}},
		{"a circle in its square", square, circle, 20 * (math.Sqrt2 - 1), geometry.Position{}},
		{"a dent of 0.3 mm", square, tab, 0.3, pos(21*mm, 40*mm-300*geometry.Micrometre)},
		{"0.6 mm wider", square, ok(Rectangle(size(40*mm+600*geometry.Micrometre, 40*mm), 0)), 0.3, geometry.Position{}},
	} {
		m := Compare(c.a, c.b)
		if math.Abs(m.Deviation.MM()-c.want) > 2*Flatness.MM() || c.at != (geometry.Position{}) && m.At != c.at {
			t.Errorf("%s: %v at %v, want %g mm at %v", c.name, m.Deviation, m.At, c.want, c.at)
		}
		if back := Compare(c.b, c.a); max(back.Deviation-m.Deviation, m.Deviation-back.Deviation) > 2*Flatness {
			t.Errorf("%s: %v one way, %v the other", c.name, m.Deviation, back.Deviation)
		}
	}
}

// TestCompareGrown: an outline and itself grown are the growth apart, all round.
func TestCompareGrown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := convex(t)
		d := geometry.Length(rapid.IntRange(2_000, 3_000_000).Draw(t, "d"))
		grown := must2(t)(o.Outset(d))
		m := Compare(o, grown)
		// A sharp corner is as far from the round one as the line is.
		if m.Deviation < d-3*Flatness || m.Deviation > d+d/1000+3*Flatness {
			t.Fatalf("grown by %v, it differs by %v at %v", d, m.Deviation, m.At)
		}
	})
}
