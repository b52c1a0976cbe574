package barcode

import (
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/say"
)

func fit(t testing.TB, k Kind, w Wish) Size {
	t.Helper()
	z, _, err := k.Fit(w)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// TV-B14 and TV-B15: 0.33 mm at 600 dpi is 7.795 pixels, so 8; 0.264 mm at
// 1200 dpi is 12.472, so 12, which is 0.254 mm and too small.
func TestModulesAreWholePixels(t *testing.T) {
	z := fit(t, EAN13, Wish{X: 330 * um, DPI: 600})
	if z.x != 8 || z.Module() != 338_667 {
		t.Errorf("%d pixels, %s", z.x, z.Module())
	}
	_, _, err := EAN13.Fit(Wish{X: 264 * um, DPI: 1200})
	if err == nil || !strings.Contains(say.Hint(err), "13 pixels") || !strings.Contains(err.Error(), "12 pixels") {
		t.Errorf("got %v with the hint %q", err, say.Hint(err))
	}
	if z := fit(t, EAN13, Wish{X: 275_167, DPI: 1200}); z.x != 13 {
		t.Errorf("the size that the hint names gives %d pixels", z.x)
	}
}

// TV-B13 and gs1ie.org, EAN-13: at 80 % the symbol is 29.83 mm wide with its
// quiet zones and 18.28 mm high, at 100 % 37.29 by 22.85, at 200 % 74.58 by
// 45.70. At 25400 dpi a pixel is a micrometre, so nothing is rounded.
func TestEANSizes(t *testing.T) {
	e := encoderFor(t, EAN13, Options{})
	s := encoded(t, e, "9501101530003")
	for x, want := range map[geometry.Length][2]geometry.Length{
		264 * um: {29_832 * um, 18_280 * um},
		330 * um: {37_290 * um, 22_850 * um},
		660 * um: {74_580 * um, 45_700 * um},
	} {
		z := fit(t, EAN13, Wish{X: x, DPI: 25_400, Plain: true})
		if got := z.Outer(95); got.Across != want[0] || got.Around != want[1] {
			t.Errorf("X %s: %s, want %s by %s", x, got, want[0], want[1])
		}
		var pen Pen
		outer := z.Place(&pen, s, geometry.Position{}, geometry.Turn0, draw.Solid("Black"))
		ink := z.Path(s, geometry.Position{}, geometry.Turn0).Bounds()
		if got := ink.Min.Across - outer.Min.Across; got != 11*x {
			t.Errorf("X %s: quiet zone %s at the left", x, got)
		}
		if got := outer.Max.Across - ink.Max.Across; got != 7*x {
			t.Errorf("X %s: quiet zone %s at the right", x, got)
		}
	}
}

// EAN-8 18.23 mm high at 0.33 (its table's 14.58 and 36.46 are this, rounded),
// ITF-14 and GS1-128 31.75 mm at any module: gs1.se, size guide.
func TestHeights(t *testing.T) {
	for _, c := range []struct {
		kind    Kind
		x, want geometry.Length
	}{
		{EAN8, 264 * um, 14_584 * um}, {EAN8, 330 * um, 18_230 * um}, {EAN8, 660 * um, 36_460 * um},
		{ITF14, 495 * um, 31_750 * um}, {ITF14, 1016 * um, 31_750 * um}, {GS1128, 600 * um, 31_750 * um},
	} {
		z, warnings, err := c.kind.Fit(Wish{X: c.x, DPI: 25_400})
		if err != nil || len(warnings) > 0 || z.dots.length(z.height) != c.want {
			t.Errorf("%s at %s: %s, %v, %v", c.kind, c.x, z.dots.length(z.height), warnings, err)
		}
	}
}

func TestFitWarns(t *testing.T) {
	for want, fit := range map[string]func() (Size, []say.Note, error){
		CodeLarge: func() (Size, []say.Note, error) { return ITF14.Fit(Wish{X: 1200 * um, DPI: 1200}) },
		CodeLow:   func() (Size, []say.Note, error) { return EAN13.Fit(Wish{Height: 10 * mm, DPI: 1200}) },
	} {
		_, warnings, err := fit()
		if err != nil || len(warnings) != 1 || warnings[0].Code != want {
			t.Errorf("%s: %v, %v", want, warnings, err)
		}
	}
	z := fit(t, EAN13, Wish{DPI: 600})
	if _, ladder := z.Direction(geometry.Turn180); ladder {
		t.Error("bars along the web are warned of")
	}
	if w, ladder := z.Direction(geometry.Turn90); !ladder || w.Code != CodeLadder {
		t.Error("bars across the web are not warned of")
	}
	if _, ladder := fit(t, QR, Wish{DPI: 600}).Direction(geometry.Turn90); ladder {
		t.Error("a matrix has no direction")
	}
	for _, bad := range []Wish{{DPI: 0}, {X: 330 * um, DPI: 30}, {X: 300 * um, DPI: 600, Warehouse: true}} {
		if _, _, err := EAN13.Fit(bad); err == nil {
			t.Errorf("%+v passed", bad)
		}
	}
}
