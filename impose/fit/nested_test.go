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

// TestNestedSays: what stands beside each layout. The triangle of 46 x 40 mm is
// half a parallelogram, and pairs of it leave no waste but at the edges.
func TestNestedSays(t *testing.T) {
	triangle, err := outline.New(outline.Polygon(geometry.Position{Around: 40 * mm}, geometry.Position{Across: 46 * mm, Around: 40 * mm}, geometry.Position{Across: 23 * mm}))
	if err != nil {
		t.Fatal(err)
	}
	w := wish(size(46*mm, 40*mm), 330*mm)
	w.Shape, w.Quantity = geometry.ShapeOutline, 100_000
	w.Turns = []geometry.Turn{0}
	w.Gap = size(mm, mm)
	ask := func(rules NestRules) []Nested {
		r, err := Answer(Question{Wish: w, Outline: triangle, Nest: rules})
		if err != nil {
			t.Fatal(err)
		}
		return r.Nested
	}
	upright := ask(NestRules{Turns: []geometry.Turn{0}})[0]
	turned := ask(NestRules{Turns: []geometry.Turn{0, 2}})[0]
	if upright.Turned != 0 || turned.Turned == 0 || turned.WebGrossM > 0.9*upright.WebGrossM {
		t.Errorf("turned: %d and %d labels, %g and %g m", upright.Turned, turned.Turned, upright.WebGrossM, turned.WebGrossM)
	}
	all := ask(NestRules{Turns: []geometry.Turn{0, 2}, Apart: true})
	straight := all[len(all)-1]
	for _, n := range all {
		if n.Crossing != 0 || n.Seam != "no label stands across the seam" {
			t.Errorf("apart, %s: %d labels across the seam: %s", n.Pattern, n.Crossing, n.Seam)
		}
		if n.Pattern == "straight" {
			straight = n
		}
	}
	for _, n := range all {
		if n.SavedM != straight.WebGrossM-n.WebGrossM {
			t.Errorf("%s saves %g m of %g, with %g m", n.Pattern, n.SavedM, straight.WebGrossM, n.WebGrossM)
		}
		if float64(n.Labels)/n.RepeatMM*1000 > n.Bound {
			t.Errorf("%s: beyond the bound of %g", n.Pattern, n.Bound)
		}
		if !strings.Contains(n.Stripping, "the matrix is 1 mm wide at its narrowest, less than the") {
			t.Errorf("%s: %s", n.Pattern, n.Stripping)
		}
	}
}
