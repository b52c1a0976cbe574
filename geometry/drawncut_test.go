package geometry

import "testing"

func TestDrawnCutDiffers(t *testing.T) {
	mm := func(a, b float64) Size {
		return Size{Across: Length(a * 1e6), Around: Length(b * 1e6)}
	}
	die := Die{Number: "7", Size: mm(75, 50), Radius: 3 * Millimetre, Lanes: 1, Rows: 1}
	circle := Die{Number: "8", Shape: ShapeCircle, Size: mm(40, 40), Lanes: 1, Rows: 1}
	leaf := Die{Number: "9", Shape: ShapeOutline, Outline: "leaf", Size: mm(50, 75), Area: 2500, Lanes: 1, Rows: 1}
	for _, c := range []struct {
		name    string
		cut     DrawnCut
		die     *Die
		turn    Turn
		differs bool
	}{
		{"turned die", DrawnCut{Size: mm(50, 75), Radius: 3 * Millimetre}, &die, Turn90, false},
		{"within the tolerance", DrawnCut{Size: mm(50.05, 74.95), Radius: 3050 * Micrometre}, &die, Turn90, false},
		{"size", DrawnCut{Size: mm(50.06, 75), Radius: 3 * Millimetre}, &die, Turn90, true},
		{"radius", DrawnCut{Size: mm(50, 75), Radius: 2 * Millimetre}, &die, Turn90, true},
		{"ellipse for a rectangle", DrawnCut{Size: mm(50, 75), Radius: AnyRadius, Area: 2945}, &die, Turn90, true},
		{"circle", DrawnCut{Size: mm(40, 40), Radius: 20 * Millimetre, Area: 1256.6}, &circle, Turn0, false},
		{"square for a circle", DrawnCut{Size: mm(40, 40), Radius: 0, Area: 1600}, &circle, Turn0, true},
		{"outline", DrawnCut{Size: mm(50, 75), Radius: AnyRadius, Area: 2505}, &leaf, Turn0, false},
		{"other outline", DrawnCut{Size: mm(50, 75), Radius: AnyRadius, Area: 2600}, &leaf, Turn0, true},
	} {
		if got := c.cut.differs(c.die, c.turn, c.cut.Size); len(got) > 0 != c.differs {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
