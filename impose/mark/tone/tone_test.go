package tone_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"quoin/geometry"
	"quoin/impose/mark/tone"
)

func near(t *testing.T, id string, got float64, err error, want, within float64) {
	t.Helper()
	if err != nil || math.Abs(got-want) > within {
		t.Errorf("%s: got %.4f, %v; want %g", id, got, err, want)
	}
}

// Calculated from the published formulas, apart from this code.
func TestDensities(t *testing.T) {
	got, err := tone.MurrayDavies(0.08, 1.45, 0.48)
	near(t, "TV-C1", got, err, 62.871, 5e-4)
	got, err = tone.YuleNielsen(0.08, 1.45, 0.48, 1.7)
	near(t, "TV-C1, n 1.7", got, err, 49.582, 5e-4)
	got, err = tone.MurrayDavies(0, 1.40, 0.54)
	near(t, "TV-C2", got, err, 74.110, 5e-4)
	near(t, "TV-C2, gain", tone.Gain(got, 50), nil, 24.110, 5e-4)
}

// A German encyclopedia's Murray-Davies article, as copied by an academic
// mirror (de-academic.com, Murray-Davies-Formel), puts the paper's density
// below the line where the solid's belongs. With it a solid would read far
// from 100 %.
func TestSolidReadsHundred(t *testing.T) {
	for _, n := range []float64{1, 1.7, 2} {
		got, err := tone.YuleNielsen(0.08, 1.45, 1.45, n)
		near(t, "solid", got, err, 100, 1e-9)
		got, err = tone.YuleNielsen(0.08, 1.45, 0.08, n)
		near(t, "paper", got, err, 0, 1e-9)
	}
}

func TestSpotColours(t *testing.T) {
	for _, c := range []struct {
		id                 string
		paper, solid, tint tone.Lab
		want, wrong        float64
	}{
		// The plain quotient of colour differences would say 48.092.
		{"TV-C3", tone.Lab{L: 95, A: 0, B: -2}, tone.Lab{L: 48, A: 68, B: 25}, tone.Lab{L: 70, A: 32, B: 8}, 51.456, 48.092},
		// A public test expects 50.99 here, which is that quotient too.
		{"TV-C6", tone.Lab{L: 100}, tone.Lab{}, tone.Lab{L: 50, A: 10}, 49.239, 50.99},
	} {
		got, err := tone.SpotLab(c.paper, c.solid, c.tint)
		near(t, c.id, got, err, c.want, 5e-4)
		plain := 100 * difference(c.tint, c.paper) / difference(c.solid, c.paper)
		near(t, c.id+", the plain quotient", plain, nil, c.wrong, 5e-3)
	}
	got, err := tone.Spot(tone.XYZ{80, 83, 68}, tone.XYZ{15, 9, 8}, tone.XYZ{40, 37, 30})
	near(t, "TV-C4", got, err, 46.549, 5e-4)
	// The solid lies on the straight part of CIELAB's function, whose slope is
	// 841/108; a public implementation has 941/108.
	got, err = tone.Spot(tone.XYZ{84, 87, 71}, tone.XYZ{.5, .5, .4}, tone.XYZ{20, 20.5, 17})
	near(t, "TV-C5", got, err, 46.724, 5e-4)
}

func difference(a, b tone.Lab) float64 {
	return math.Sqrt((a.L-b.L)*(a.L-b.L) + (a.A-b.A)*(a.A-b.A) + (a.B-b.B)*(a.B-b.B))
}

// CIELAB's definition says that both parts of the function meet, so a colour
// given as XYZ and as Lab has one tone value.
func TestLabAndXYZAgree(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		v := rapid.Float64Range(0.01, 90)
		draw := func(name string) (tone.XYZ, tone.Lab) {
			c := tone.XYZ{X: v.Draw(rt, name+" X"), Y: v.Draw(rt, name+" Y"), Z: v.Draw(rt, name+" Z")}
			f := func(u float64) float64 {
				if u > 216.0/24389 {
					return math.Cbrt(u)
				}
				return (24389.0/27*u + 16) / 116
			}
			x, y, z := f(c.X/96.422), f(c.Y/100), f(c.Z/82.521)
			return c, tone.Lab{L: 116*y - 16, A: 500 * (x - y), B: 200 * (y - z)}
		}
		paper, paperLab := draw("paper")
		solid, solidLab := draw("solid")
		tint, tintLab := draw("tint")
		a, err := tone.Spot(paper, solid, tint)
		if err != nil {
			rt.Skip(err)
		}
		b, err := tone.SpotLab(paperLab, solidLab, tintLab)
		if err != nil || math.Abs(a-b) > 1e-6*math.Max(1, a) {
			rt.Fatalf("%g from XYZ, %g from Lab, %v", a, b, err)
		}
	})
}

func TestScreens(t *testing.T) {
	w, err := tone.ScreenWidth(133)
	if err != nil || w != 190_977 { // 25.4/133 mm = 0.19098
		t.Fatalf("TV-C7: %s, %v", w, err)
	}
	good, least := tone.Aperture(w)
	near(t, "TV-C7, good", good.MM(), nil, 2.865, 5e-4)
	near(t, "TV-C7, least", least.MM(), nil, 1.910, 5e-4)
	if good > 5*geometry.Millimetre {
		t.Errorf("a patch of 5 mm is too small for an opening of %s", good)
	}
}

func TestGreyAim(t *testing.T) {
	got, err := tone.GreyAim(tone.Lab{L: 93, A: 1, B: -3}, 25, 58)
	near(t, "TV-C8, b*", got.B, err, -1.6875, 1e-9)
	near(t, "TV-C8, a*", got.A, err, 0.5625, 1e-9)
}

func TestReadingsThatMakeNoSense(t *testing.T) {
	nan := math.NaN()
	for name, err := range map[string]error{
		"solid like paper":        second(tone.MurrayDavies(0.1, 0.1, 0.1)),
		"solid missing":           second(tone.MurrayDavies(0.1, nan, 0.1)),
		"tint missing":            second(tone.MurrayDavies(0.1, 1, nan)),
		"n below 1":               second(tone.YuleNielsen(0.1, 1, 0.5, 0)),
		"n endless":               second(tone.YuleNielsen(0.1, 1, 0.5, math.Inf(1))),
		"spot like paper":         second(tone.SpotLab(tone.Lab{L: 90}, tone.Lab{L: 90}, tone.Lab{L: 90})),
		"spot tint missing":       second(tone.SpotLab(tone.Lab{L: 90}, tone.Lab{L: 40}, tone.Lab{L: nan})),
		"no screen":               second(tone.ScreenWidth(0)),
		"inks lighter than paper": second(tone.GreyAim(tone.Lab{L: 30}, 40, 35)),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func second[T any](_ T, err error) error { return err }
