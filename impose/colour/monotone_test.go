package colour

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"
)

// A library's curve between the same points is a second opinion: it weighs
// slopes a little differently, so that both agree to a point. Ours never turns
// back, and goes through its points.
func TestMonotoneCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := []float64{0}, []float64{0}
		for range rapid.IntRange(1, 6).Draw(t, "points") {
			x = append(x, x[len(x)-1]+rapid.Float64Range(2, 16).Draw(t, "step"))
			y = append(y, y[len(y)-1]+rapid.Float64Range(1, 16).Draw(t, "rise"))
		}
		x, y = append(x, 100), append(y, 100)
		m := newMonotone(x, y)
		for i := range x {
			if math.Abs(m.at(x[i])-y[i]) > 1e-9 {
				t.Fatalf("at %g: %g, not %g", x[i], m.at(x[i]), y[i])
			}
		}
		before := 0.0
		for v := 0.0; v <= 100; v += 0.25 {
			if m.at(v) < before-1e-9 {
				t.Fatalf("turns back at %g: %g after %g", v, m.at(v), before)
			}
			before = m.at(v)
		}
	})
	x, y := []float64{0, 25, 50, 75, 100}, []float64{0, 46, 75, 91, 100}
	var other interp.FritschButland
	if err := other.Fit(x, y); err != nil {
		t.Fatal(err)
	}
	m := newMonotone(x, y)
	for v := 0.0; v <= 100; v += 5 {
		if d := math.Abs(m.at(v) - other.Predict(v)); d > 1 {
			t.Errorf("at %g: %g, the library says %g", v, m.at(v), other.Predict(v))
		}
	}
}
