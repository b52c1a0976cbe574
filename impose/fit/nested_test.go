package fit

import (
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// TestNested is TV-G25, by geometry: circles of 40 mm, 3 mm apart, in a band of
// 320 mm and frames of at most 980 mm. The straight grid holds 7 x 22 = 154 on
// 946 mm, even rows of equilateral triangles 7 x 26 = 182 on 968.2 mm; a little
// more room across lets the rows come closer still.
func TestNested(t *testing.T) {
	w := wish(size(40*mm, 40*mm), 320*mm)
	w.Shape, w.Quantity = geometry.ShapeCircle, 18_200
	circle, err := outline.Circle(40 * mm)
	if err != nil {
		t.Fatal(err)
	}
	r, err := Answer(Question{Wish: w, Outline: circle})
	if err != nil {
		t.Fatal(err)
	}
	if l := r.Best(); l.Labels != 154 || l.RepeatMM != 946 {
		t.Errorf("straight: %+v", l)
	}
	best := r.Nested[0]
	if best.Pattern != "staggered" || best.Labels != 182 || best.RepeatMM > 968.217 || best.Frames != 100 || best.WebGrossM != best.RepeatMM/10 {
		t.Errorf("nested: %+v", best)
	}
	if !strings.Contains(best.Slitting, "no straight slit") {
		t.Errorf("slitting: %s", best.Slitting)
	}
	last := r.Nested[len(r.Nested)-1]
	if last.Pattern != "straight" || last.Labels != 154 {
		t.Errorf("the straight grid is not beside it: %+v", last)
	}
	var b strings.Builder
	if err := r.Text(&b); err != nil || !strings.Contains(b.String(), "nested, with the gap as true distance\n  staggered") {
		t.Errorf("%v: %s", err, b.String())
	}
}
