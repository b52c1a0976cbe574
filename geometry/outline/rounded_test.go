package outline

import (
	"testing"

	"quoin/geometry"
)

func TestCornerRadius(t *testing.T) {
	size := geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}
	for _, r := range []geometry.Length{0, geometry.Millimetre, 3175 * geometry.Micrometre, 25 * geometry.Millimetre} {
		o, err := Rectangle(size, r)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := o.Moved(geometry.Size{Across: 7, Around: -9}).CornerRadius(geometry.DieTolerance)
		if off := max(got-r, r-got); !ok || off > 5*geometry.Micrometre {
			t.Errorf("radius %s, want %s, %v", got, r, ok)
		}
	}
	ellipse, err := Ellipse(size)
	if err != nil {
		t.Fatal(err)
	}
	// One corner of 3 mm: the mean of the four is no radius.
	one := Contour{}
	one.Line(geometry.Position{Across: 47 * geometry.Millimetre})
	one.Arc(geometry.Position{Across: 50 * geometry.Millimetre, Around: 3 * geometry.Millimetre}, quarter)
	one.Line(geometry.Position{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre})
	one.Line(geometry.Position{Around: 75 * geometry.Millimetre})
	one.Close()
	single, err := New(one)
	if err != nil {
		t.Fatal(err)
	}
	for name, o := range map[string]Outline{"ellipse": ellipse, "one corner": single, "empty": {}} {
		if r, ok := o.CornerRadius(geometry.DieTolerance); ok {
			t.Errorf("%s: has the radius %s", name, r)
		}
	}
}
