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
		if got := z.Outer(Extent{95, 0}); got.Across != want[0] || got.Around != want[1] {
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

// A size that nobody asked for is never refused: at 1200 dpi the 0.495 mm of an
// ITF-14 come nearest to 23 pixels, which are too few, so it takes 24.
func TestDefaultsAreNeverRefused(t *testing.T) {
	for _, k := range Kinds() {
		for _, dpi := range [][2]int{{203, 203}, {300, 300}, {600, 600}, {800, 800}, {1200, 1200}, {1600, 1600}, {2400, 2400}, {1600, 800}, {600, 1200}, {1200, 900}} {
			z, warnings, err := k.Fit(Wish{DPI: dpi[0], Around: dpi[1]})
			if err != nil || len(warnings) > 0 {
				t.Errorf("%s at %v: %v, %v", k, dpi, err, warnings)
			}
			along, upright := z.axes(false)
			if off := along.dots.length(along.x) - upright.dots.length(upright.x); off > along.dots.length(1)/2 || -off > along.dots.length(1)/2 {
				t.Errorf("%s at %v: modules of %s by %s", k, dpi, along.dots.length(along.x), upright.dots.length(upright.x))
			}
		}
	}
	if z := fit(t, ITF14, Wish{DPI: 1200}); z.x != 24 {
		t.Errorf("%d pixels", z.x)
	}
	if z := fit(t, GS1128, Wish{DPI: 600, X: 250 * um, HealthCare: true}); z.x != 6 || z.dots.length(z.height) != 12_700*um {
		t.Errorf("%d pixels, %s high", z.x, z.dots.length(z.height))
	}
}

// On a device with other pixels across than around, every edge stands on a pixel
// of its own direction, upright and on its side, and a cut bar loses just what
// it should.
func TestOblongPixels(t *testing.T) {
	for _, k := range Kinds() {
		s := encoded(t, encoderFor(t, k, Options{}), samples[k][0])
		for _, turn := range []geometry.Turn{geometry.Turn0, geometry.Turn90, geometry.Turn180, geometry.Turn270} {
			dark := func(cut int) (n int) {
				z := fit(t, k, Wish{X: 560 * um, Height: 5 * mm, DPI: 1600, Around: 800, Plain: true, Cut: cut})
				path := z.Path(s, geometry.Position{Across: 7_777_777, Around: 3_333_333}, turn)
				for i := 0; i < len(path.Points); i += 4 {
					box := draw.Path{Verbs: path.Verbs[:5], Points: path.Points[i : i+4]}.Bounds()
					across, around := box.Max.Across-box.Min.Across, box.Max.Around-box.Min.Around
					for _, e := range []geometry.Length{box.Min.Across, box.Max.Across} {
						if off := e - z.dots.length(z.dots.nearest(e)); off > 300 || off < -300 {
							t.Fatalf("%s, %s: an edge across is %d nm off", k, turn, off)
						}
					}
					for _, e := range []geometry.Length{box.Min.Around, box.Max.Around} {
						if off := e - z.around.dots.length(z.around.dots.nearest(e)); off > 300 || off < -300 {
							t.Fatalf("%s, %s: an edge around is %d nm off", k, turn, off)
						}
					}
					n += z.dots.nearest(across) * z.around.dots.nearest(around)
				}
				return n
			}
			lost := dark(0) - dark(3)
			if !k.Linear() {
				if lost != 0 {
					t.Errorf("%s lost %d pixels", k, lost)
				}
				continue
			}
			bars, high := (len(s.Bars)+1)/2, 157 // 5 mm are 157.48 pixels of 800 dpi, and 315 (from 157) of 1600
			if turn.Swaps() {
				high = 314
			}
			if want := 3 * bars * high; lost != want {
				t.Errorf("%s, %s: %d pixels less, want %d", k, turn, lost, want)
			}
		}
	}
	if _, _, err := EAN13.Fit(Wish{DPI: 600, Cut: 5}); err == nil || !strings.Contains(err.Error(), "can't lose 5") {
		t.Error(err)
	}
}

// Module returns the module's size as printed.
func (z Size) Module() geometry.Length { return z.dots.length(z.x) }
