package geometry

import (
	"math"
	"testing"
)

// TestNothingPanics calls what divides with lengths and counts that no job has.
func TestNothingPanics(t *testing.T) {
	odd := []Length{math.MinInt64, -Millimetre, -1, 0, 1, Millimetre, math.MaxInt64}
	for _, a := range odd {
		for _, b := range odd {
			Walk(a, b)
			if RollsFor(int64(a), int64(b)) < 0 {
				t.Errorf("RollsFor(%d, %d) is negative", a, b)
			}
			if a >= 0 && LabelsIn(a, b) < 0 {
				t.Errorf("LabelsIn(%d, %d) is negative", a, b)
			}
			for _, c := range odd {
				_, _ = RowsIn(a, b, c), LanesIn(a, b, c, 0)
			}
		}
	}
	for mm, want := range map[float64]Length{math.Inf(1): math.MaxInt64, math.Inf(-1): -math.MaxInt64, 1e300: math.MaxInt64, 1.5: 1500 * Micrometre} {
		if got := FromMM(mm); got != want {
			t.Errorf("FromMM(%g) = %d, want %d", mm, got, want)
		}
	}
	if got := FromMM(math.NaN()); got != 0 {
		t.Errorf("FromMM(NaN) = %d, want 0", got)
	}
	if n, walk := Walk(Metre, 0); n != 0 || walk != 0 || LabelsIn(Metre, 0) != 0 || RollsFor(10, 0) != 0 || RowsIn(Metre, Millimetre, -Millimetre) != 0 || LanesIn(Metre, Millimetre, -Millimetre, 0) != 0 {
		t.Error("division by nothing gives something")
	}
	if got := RollsFor(math.MaxInt64, math.MaxInt64); got != 1 {
		t.Errorf("one roll of all labels: %d", got)
	}
}
