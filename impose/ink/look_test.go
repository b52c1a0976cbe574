package ink

import "testing"

func TestLightnessOrdersInks(t *testing.T) {
	inks := []Ink{
		{"Black", Process, [4]float64{0, 0, 0, 1}},
		{"Magenta", Process, [4]float64{0, 1, 0, 0}},
		{"Cyan", Process, [4]float64{1, 0, 0, 0}},
		{"Yellow", Process, [4]float64{0, 0, 1, 0}},
		{"White", White, [4]float64{}},
	}
	for i := 1; i < len(inks); i++ {
		if a, b := inks[i-1].Lightness(), inks[i].Lightness(); a >= b {
			t.Errorf("%s (%.2f) is not darker than %s (%.2f)", inks[i-1].Name, a, inks[i].Name, b)
		}
	}
}

func TestRGBOfPaperIsWhite(t *testing.T) {
	if got := RGB([4]float64{}); got != [3]float64{1, 1, 1} {
		t.Errorf("got %v", got)
	}
	if got := RGB([4]float64{0, 0, 1, 0}); got != corners[2] {
		t.Errorf("yellow looks like %v", got)
	}
}
