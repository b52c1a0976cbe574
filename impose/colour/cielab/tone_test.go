package cielab_test

import (
	"math"
	"testing"

	"quoin/impose/colour/cielab"
)

func near(t *testing.T, id string, got float64, err error, want, within float64) {
	t.Helper()
	if err != nil || !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.4f, %v; want %g", id, got, err, want)
	}
}

// Calculated from the published formulas, apart from this code.
func TestSpotColours(t *testing.T) {
	for _, c := range []struct {
		id                 string
		paper, solid, tint cielab.Lab
		want, wrong        float64
	}{
		// The plain quotient of colour differences would say 48.092.
		{"TV-C3", cielab.Lab{L: 95, A: 0, B: -2}, cielab.Lab{L: 48, A: 68, B: 25}, cielab.Lab{L: 70, A: 32, B: 8}, 51.456, 48.092},
		// A public test expects 50.99 here, which is that quotient too.
		{"TV-C6", cielab.Lab{L: 100}, cielab.Lab{}, cielab.Lab{L: 50, A: 10}, 49.239, 50.99},
	} {
		got, err := cielab.SpotToneValue(c.paper, c.solid, c.tint)
		near(t, c.id, got, err, c.want, 5e-4)
		plain := 100 * cielab.DE76(c.tint, c.paper) / cielab.DE76(c.solid, c.paper)
		near(t, c.id+", the plain quotient", plain, nil, c.wrong, 5e-3)
	}
	lab := func(x, y, z float64) cielab.Lab { return cielab.XYZ{X: x, Y: y, Z: z}.Lab() }
	// The white of these was 96.422, 100, 82.521.
	got, err := cielab.SpotToneValue(lab(80, 83, 68), lab(15, 9, 8), lab(40, 37, 30))
	near(t, "TV-C4", got, err, 46.549, 2e-3)
	// The solid lies on the straight part of CIELAB's function, whose slope is
	// 841/108; a public implementation has 941/108.
	got, err = cielab.SpotToneValue(lab(84, 87, 71), lab(.5, .5, .4), lab(20, 20.5, 17))
	near(t, "TV-C5", got, err, 46.724, 2e-3)
}

func TestGreyAim(t *testing.T) {
	got, err := cielab.GreyAim(cielab.Lab{L: 93, A: 1, B: -3}, 25, 58)
	near(t, "TV-C8, b*", got.B, err, -1.6875, 1e-9)
	near(t, "TV-C8, a*", got.A, err, 0.5625, 1e-9)
}

func TestReadingsThatMakeNoSense(t *testing.T) {
	nan := math.NaN()
	grey := cielab.XYZ{X: 50, Y: 50, Z: 40}
	for name, err := range map[string]error{
		"solid like paper":        second(cielab.ToneValue(cielab.Black, grey, grey, grey)),
		"solid missing":           second(cielab.ToneValue(cielab.Black, grey, cielab.XYZ{Y: nan}, grey)),
		"tint missing":            second(cielab.ToneValue(cielab.Black, grey, cielab.XYZ{}, cielab.XYZ{Y: nan})),
		"spot like paper":         second(cielab.SpotToneValue(cielab.Lab{L: 90}, cielab.Lab{L: 90}, cielab.Lab{L: 90})),
		"spot tint missing":       second(cielab.SpotToneValue(cielab.Lab{L: 90}, cielab.Lab{L: 40}, cielab.Lab{L: nan})),
		"inks lighter than paper": second(cielab.GreyAim(cielab.Lab{L: 30}, 40, 35)),
		"no white":                second(cielab.Opacity(grey, cielab.XYZ{})),
		"few bands":               second(cielab.Spectrum{First: 400, Step: 10, Values: []float64{1}}.XYZ()),
		"half a spectrum":         second(cielab.Spectrum{First: 400, Step: 10, Values: make([]float64, 10)}.XYZ()),
		"wide bands":              second(cielab.Spectrum{First: 380, Step: 50, Values: make([]float64, 8)}.XYZ()),
		"a band missing":          second(cielab.Spectrum{First: 400, Step: 20, Values: append(make([]float64, 15), nan)}.XYZ()),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func TestOpacity(t *testing.T) {
	got, err := cielab.Opacity(cielab.XYZ{Y: 60}, cielab.XYZ{Y: 80})
	near(t, "opacity", got, err, 75, 1e-9)
}

// The perfect white is white, whatever bands it was read in.
func TestWhiteIsWhite(t *testing.T) {
	for _, s := range []cielab.Spectrum{flat(380, 10, 41), flat(400, 10, 31), flat(380, 20, 21), flat(380, 5, 81), flat(400, 20, 16)} {
		c, err := s.XYZ()
		if err != nil || cielab.DE76(c.Lab(), cielab.Lab{L: 100}) > 1e-9 {
			t.Errorf("%d nm on, every %d: %v, %v", s.First, s.Step, c.Lab(), err)
		}
	}
}

func flat(first, step, n int) cielab.Spectrum {
	s := cielab.Spectrum{First: first, Step: step, Values: make([]float64, n)}
	for i := range s.Values {
		s.Values[i] = 1
	}
	return s
}

// White is white on a screen, and sRGB's own red comes back: its CIELAB for D50
// is 54.29, 80.81, 69.89 (from the primaries of IEC 61966-2-1, adapted by
// Bradford's matrix).
func TestScreenColours(t *testing.T) {
	for want, c := range map[[3]uint8]cielab.Lab{{255, 255, 255}: {L: 100}, {0, 0, 0}: {}, {255, 0, 0}: {L: 54.29, A: 80.81, B: 69.89}} {
		r, g, b := c.SRGB()
		for i, v := range [3]uint8{r, g, b} {
			if math.Abs(float64(v)-float64(want[i])) > 2 {
				t.Errorf("%v: %d %d %d, want %v", c, r, g, b, want)
				break
			}
		}
	}
}
