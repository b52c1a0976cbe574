package outline

import (
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
)

// TestSwept: a swept shape holds exactly the places that some move of the
// shape along the way covers.
func TestSwept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := curved(t, "shape")
		d := geometry.Length(rapid.IntRange(1, 9_000_000).Draw(t, "d"))
		by := size(d, 0)
		if rapid.Bool().Draw(t, "around") {
			by = size(0, d)
		}
		swept := o.Swept(by)
		near2 := func(p geometry.Position) (inside bool) {
			const steps = 400
			for i := -steps; i <= steps; i++ {
				inside = inside || o.Contains(p.Add(size(by.Across*geometry.Length(i)/steps, by.Around*geometry.Length(i)/steps)))
			}
			return inside
		}
		for range 20 {
			p := pos(geometry.Length(rapid.IntRange(-50_000_000, 50_000_000).Draw(t, "x")), geometry.Length(rapid.IntRange(-50_000_000, 50_000_000).Draw(t, "y")))
			if want := near2(p); want && !swept.Contains(p) && depth(swept, at(p)) < -3*float64(Flatness) {
				t.Fatalf("swept by %v: %v is left out", by, p)
			} else if !want && swept.Contains(p) && depth(swept, at(p)) > float64(d)/400+3*float64(Flatness) {
				t.Fatalf("swept by %v: %v is covered", by, p)
			}
		}
		if got, want := swept.Bounds().Size(), o.Bounds().Size(); max(got.Across-want.Across-2*by.Across, got.Around-want.Around-2*by.Around) > 2 {
			t.Fatalf("swept by %v, %v became %v", by, want, got)
		}
	})
}

// TestSweptRectangle: plain geometry.
func TestSweptRectangle(t *testing.T) {
	o := need(t)(Rectangle(size(50*mm, 30*mm), 0))
	if got := o.Swept(size(0, 2*mm)); got.Bounds() != o.Bounds().Moved(size(0, -2*mm)).Union(o.Bounds().Moved(size(0, 2*mm))) || got.Area() != 50*34 {
		t.Errorf("swept around: %v, %g mm2", got.Bounds(), got.Area())
	}
	if got := o.Swept(size(3*mm, 0)); got.Area() != 56*30 {
		t.Errorf("swept across: %v, %g mm2", got.Bounds(), got.Area())
	}
}
