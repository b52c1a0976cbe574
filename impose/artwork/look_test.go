package artwork

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// The corners of sRGB in CIELAB under D50, as published with the adapted sRGB
// matrix by B. Lindbloom (from memory, not checked).
func TestLabBecomesRGB(t *testing.T) {
	for lab, want := range map[[3]float64][3]float64{
		{100, 0, 0}:             {1, 1, 1},
		{0, 0, 0}:               {0, 0, 0},
		{54.29, 80.80, 69.89}:   {1, 0, 0},
		{87.82, -79.27, 80.99}:  {0, 1, 0},
		{29.57, 68.30, -112.03}: {0, 0, 1},
		{53.585, 0, 0}:          {.5, .5, .5},
		{2, 0, 0}:               {.03, .03, .03}, // the linear foot of the curve
		{300, 1000, -1000}:      {1, 0, 1},       // beyond any colour, but no NaN
	} {
		r, g, b := FromLab(lab[0], lab[1], lab[2])
		for i, v := range []float64{r, g, b} {
			if !(math.Abs(v-want[i]) < .01) {
				t.Errorf("%v: %.3f %.3f %.3f, want %v", lab, r, g, b, want)
				break
			}
		}
	}
}

func TestRGBBecomesCMYK(t *testing.T) {
	for rgb, want := range map[[3]float64][4]float64{
		{1, 1, 1}: {}, {0, 0, 0}: {0, 0, 0, 1}, {1, 0, 0}: {0, 1, 1, 0}, {.5, .5, .5}: {0, 0, 0, .5}, {.5, .25, 0}: {0, .5, 1, .5}, {2, -1, 1}: {0, 1, 0, 0},
	} {
		if got := fromRGB(rgb[0], rgb[1], rgb[2]); got != want {
			t.Errorf("%v: %v, want %v", rgb, got, want)
		}
	}
}

// A spot's look comes from its tint transform, whatever its alternate space.
func TestLooksOfSpots(t *testing.T) {
	for space, want := range map[string]string{
		"/DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [.1 .2 .3 .4] >>":                                               "[0.1 0.2 0.3 0.4]",
		"/DeviceRGB << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1 1 1] /C1 [1 0 0] >>":                                                        "[0 1 1 0]",
		"/DeviceGray << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1] /C1 [.25] >>":                                                             "[0 0 0 0.75]",
		"[/Lab << /WhitePoint [.9642 1 .8249] >>] << /FunctionType 2 /Domain [0 1] /N 1 /C0 [100 0 0] /C1 [0 0 0] >>":                        "[0 0 0 1]",
		"[/Separation /Other /DeviceGray << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1] /C1 [0] >>] << /FunctionType 2 /Domain [0 1] /N 1 >>": "[0 0 0 1]",
		"/DeviceCMYK << /FunctionType 9 >>":                    "[0 0 0 0]",
		"/DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 >>": "[0 0 0 0]", // too few outputs
	} {
		p := open(t, onePage(t, "/Contents 4 0 R /Resources << /ColorSpace << /S [/Separation /Inner "+space+"] >> >>", witness.Stream("", "/S cs 1 scn"+box)), Options{})
		if got := fmt.Sprint(usage(p, "Inner").CMYK); got != want {
			t.Errorf("%s: %s, want %s", space, got, want)
		}
	}
}

// Palettes: white entries make no ink, and what can't be read makes all.
func TestPalettes(t *testing.T) {
	for space, want := range map[string]string{
		"[/Indexed /DeviceCMYK 1 <00000000 00ff0000>]": "Magenta",
		"[/Indexed /DeviceCMYK 1 6 0 R]":               "Yellow",
		"[/Indexed /DeviceCMYK 0 <00000000 00ff0000>]": "", // only the first entry counts
		"[/Indexed /DeviceGray 1 <ff ff>]":             "",
		"[/Indexed /DeviceGray 1 <ff 7f>]":             "Black",
		"[/Indexed /DeviceCMYK 1 7]":                   "Cyan, Magenta, Yellow, Black",
		"[/Indexed /DeviceCMYK 999 <00>]":              "Cyan, Magenta, Yellow, Black",
		"[/Indexed /DeviceRGB 1 <ffffff ffffff>]":      "",
		"[/Indexed /DeviceRGB 1 <ffffff 000000>]":      "Cyan, Magenta, Yellow, Black",
	} {
		p := open(t, onePage(t, "/Contents 4 0 R /Resources << /XObject << /I 5 0 R >> >>", witness.Stream("", "q 40 0 0 20 20 20 cm /I Do Q"),
			imageOf("/Width 8 /Height 8 /BitsPerComponent 8 /ColorSpace "+space, strings.Repeat("\x01", 64)), witness.Stream("", "\x00\x00\xff\x00\x00\x00\x00\x00")), Options{})
		if got := inkList(p); got != want {
			t.Errorf("%s: %q, want %q", space, got, want)
		}
	}
}

// Text lies where the text operators of ISO 32000-1 9.4.2 and 9.4.3 take it.
func TestTextCountsWhereItStands(t *testing.T) {
	for content, want := range map[string]State{
		"20 20 Td (a) Tj":                                 Used,
		"-300 20 Td (a) Tj":                               Outside,
		"-300 20 Td 320 0 Td (a) Tj":                      Used,
		"20 -300 Td 0 320 TD (a) Tj":                      Used,
		"20 -300 Td -320 TL T* (a) Tj":                    Used,
		"20 -300 Td -320 TL (a) '":                        Used,
		"20 -300 Td -320 TL 1 1 (a) \"":                   Used,
		"20 340 Td 0 -1 TD 20 340 Td (a) Tj":              Outside,
		"1 0 0 1 20 20 Tm (a) Tj":                         Used,
		"1 0 0 1 -300 20 Tm (a) Tj":                       Outside,
		"1 0 0 1 -300 20 Tm [(a) -40000 (b)] TJ":          Used, // the gap reaches into the page
		"-300 20 Td (" + strings.Repeat("a", 99) + ") Tj": Used,
		"-30 20 Td 2 Tw 3 Tc 200 Tz (aaa) Tj":             Used,
		"20 20 Td 7 Tr (a) Tj":                            "", // only clips
		"20 20 Td () Tj":                                  "",
		"20 20 Td 5 Tj [5] TJ":                            "",
	} {
		p := open(t, onePage(t, "/Contents 4 0 R /Resources << "+helvetica("")+" >>", witness.Stream("", "BT /F 9 Tf "+content+" ET")), Options{})
		if got := usage(p, "Black").State; got != want {
			t.Errorf("%.60s: %q, want %q", content, got, want)
		}
	}
}
