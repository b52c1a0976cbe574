package artwork

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/ink"
)

const dieResources = ` /Resources << /ColorSpace << /Cut [/Separation /Cutting /DeviceCMYK 5 0 R] /Fold [/Separation /Creasing /DeviceCMYK 5 0 R]
	/Own [/Separation /Blade /DeviceCMYK 5 0 R] >> /Properties << /Kiss 6 0 R /Off 7 0 R >> /XObject << /F 8 0 R >> >>`

// cutPage writes a page with the content, which has a trim of 80 x 40 pt.
func cutPage(t *testing.T, entries, content string) string {
	return withCatalog(t, "/OCProperties << /OCGs [6 0 R 7 0 R] /D << >> >>", entries+dieResources+" /Contents 4 0 R",
		plainStream("", content),
		"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] /N 1 >>",
		"<< /Type /OCG /Name (Kiss) /GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /PartialCutting >> >>",
		"<< /Type /OCG /Name (Crease) /GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /Creasing >> >>",
		plainStream("/Type /XObject /Subtype /Form /BBox [-1 -1 5 5] /Matrix [10 0 0 10 0 0]"+dieResources, "/Cut CS 1 SCN .01 w 1 1 8 4 re S"))
}

func plainStream(dict, content string) string {
	return fmt.Sprintf("<< %s /Length %d >>\nstream\n%s\nendstream", dict, len(content), content)
}

// TestDieLinePlaces draws the same cut of 80 x 40 pt in many ways.
func TestDieLinePlaces(t *testing.T) {
	const pt = float64(geometry.Inch) / 72
	for _, c := range []struct {
		name, entries, content string
		across, around         float64 // of the box, in points
		x, y                   float64 // its leading left corner
		area                   float64 // in square points
	}{
		{"rectangle", "", "/Cut CS 1 SCN 10 10 80 40 re S", 80, 40, 0, 0, 3200},
		{"moved by cm", "", "q 2 0 0 .5 4 8 cm /Cut CS 1 SCN 3 4 40 80 re S Q", 80, 40, 0, 0, 3200},
		{"turned by cm", "", "q 0 1 -1 0 90 10 cm /Cut CS 1 SCN 0 0 40 80 re S Q", 80, 40, 0, 0, 3200},
		{"in a form", "", "/F Do", 80, 40, 0, 0, 3200},
		{"page turned", "/Rotate 90", "/Cut CS 1 SCN 10 10 80 30 re S", 30, 80, 0, 0, 2400},
		{"page turned back", "/Rotate 270", "/Cut CS 1 SCN 10 10 80 30 re S", 30, 80, 10, 0, 2400},
		{"upside down", "/Rotate 180", "/Cut CS 1 SCN 10 10 80 30 re S", 80, 30, 0, 0, 2400},
		{"user unit", "/UserUnit 2", "/Cut CS 1 SCN 10 10 80 40 re S", 160, 80, 0, 0, 12800},
		{"lines that meet", "", "/Cut CS 1 SCN 10 10 m 90 10 l S 90 50 m 10 50 l S 10 50 m 10 10 l S 90 10 m 90 50.01 l S", 80, 40.01, 0, -0.01, 3200.4},
		{"stroked and filled, twice", "", "/Cut CS /Cut cs 1 SCN 1 scn 10 10 80 40 re B 10 10 m 10 50 l 90 50 l 90 10 l h S", 80, 40, 0, 0, 3200},
		{"fill closes", "", "/Cut cs 1 scn 10 10 m 10 50 l 90 50 l 90 10 l f", 80, 40, 0, 0, 3200},
		{"curve", "", "/Cut CS 1 SCN 10 10 m 10 50 90 50 90 10 c h S", 80, 30, 0, 10, 1920},
		{"curve v", "", "/Cut CS 1 SCN 10 10 m 90 50 90 10 v h S", 80, 40 * 4.0 / 9, 0, 40 * 5.0 / 9, 960},
		{"hole", "", "/Cut CS 1 SCN 10 10 80 40 re 20 20 10 10 re S", 80, 40, 0, 0, 3100},
		{"step before ink", "", "/Cut CS 1 SCN 20 20 5 5 re S /OC /Kiss BDC 0 G 10 10 80 40 re S EMC", 80, 40, 0, 0, 3200},
		{"other step and fold ink", "", "/OC /Off BDC /Cut CS 1 SCN 20 20 5 5 re S EMC /Fold CS 1 SCN 30 20 5 5 re S /Cut CS 1 SCN 10 10 80 40 re S", 80, 40, 0, 0, 3200},
		{"unpainted, beyond the bleed, no tint", "", "/Cut CS 1 SCN 20 20 5 5 re n 0 0 3 3 re S 0 SCN 30 20 5 5 re S 1 SCN 10 10 80 40 re S", 80, 40, 0, 0, 3200},
		{"job's ink", "", "/Own CS 1 SCN 10 10 80 40 re S", 80, 40, 0, 0, 3200},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := open(t, cutPage(t, c.entries, c.content), Options{Rules: ink.Rules{Technical: []string{"Blade"}}})
			d, err := p.DieLine()
			if err != nil {
				t.Fatal(err)
			}
			b := d.Outline.Bounds()
			for i, v := range [][2]float64{
				{float64(b.Min.Across), c.x}, {float64(b.Min.Around), c.y},
				{float64(b.Size().Across), c.across}, {float64(b.Size().Around), c.around},
			} {
				if math.Abs(v[0]-v[1]*pt) > 2 { // nanometres
					t.Errorf("number %d is %g, want %g", i, v[0], v[1]*pt)
				}
			}
			// Areas of Bezier arches by Green's theorem: 3/5 of base x control height.
			if want := c.area * pt * pt * 1e-12; math.Abs(d.Outline.Area()-want) > 1e-3 {
				t.Errorf("area %g mm2, want %g", d.Outline.Area(), want)
			}
		})
	}
}

func TestDieLineSays(t *testing.T) {
	p := open(t, cutPage(t, "", "/OC /Kiss BDC 0 G 10 10 80 40 re 20 20 10 10 re S 40 20 m 50 20 l S EMC"), Options{})
	d, err := p.DieLine()
	if err != nil {
		t.Fatal(err)
	}
	if d.Inner != 1 || d.Apart != 0 || d.Open != 1 || d.By() != "processing step Structural/PartialCutting, layer Kiss, ink Black" {
		t.Errorf("%d inner, %d apart, %d open, by %s", d.Inner, d.Apart, d.Open, d.By())
	}
	p = open(t, cutPage(t, "", "/Cut CS 1 SCN 10 10 80.2 40 re S"), Options{})
	if got := text(p, DieLineDiffers); got != "the die line is 28.293 x 14.111 mm, the trim 28.222 x 14.111 mm" {
		t.Errorf("size: %q", got)
	}
	p = open(t, cutPage(t, "", "/Cut CS 1 SCN 10.2 10 80 40 re S"), Options{})
	if got := text(p, DieLineDiffers); got != "the die line has the trim's size, but lies 0.071 mm across and 0 mm around from it" {
		t.Errorf("place: %q", got)
	}
	p = open(t, cutPage(t, "", "/Cut CS 1 SCN 10.1 10 80 40 re S"), Options{})
	if got := text(p, DieLineDiffers); got != "" {
		t.Errorf("0.035 mm are told of: %q", got)
	}
	if _, err := open(t, cutPage(t, "", "0 G 10 10 80 40 re S"), Options{}).DieLine(); !errors.Is(err, ErrNoDieLine) {
		t.Errorf("no die line: %v", err)
	}
	for name, content := range map[string]string{
		"close to no contour": "/Cut CS 1 SCN 10 10 m 90 10 l 90 50 l S",
		"crosses itself":      "/Cut CS 1 SCN 10 10 m 90 50 l 90 10 l 10 40 l h S",
		"forks":               "/Cut CS 1 SCN 10 10 m 90 10 l S 90 10 m 90 50 l S 90 10 m 95 10 l S",
		"segments":            "/Cut CS 1 SCN 10 10 m " + strings.Repeat("90 10 l 10 10 l ", maxCutSegments/2+1) + "S",
	} {
		p := open(t, cutPage(t, "", content), Options{})
		if _, err := p.DieLine(); err == nil || !strings.Contains(err.Error(), name) || text(p, DieLineUnclear) == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestDieLineFiles reads what other programs wrote. The sizes and radii are
// those that the sources draw: samples/artwork/labels.py and testdata/artwork.
func TestDieLineFiles(t *testing.T) {
	for _, c := range []struct {
		file                   string
		across, around, radius geometry.Length
		by                     string
	}{
		{"samples/artwork/orchard-juice.pdf", 50, 75, 3, "processing step Structural/Cutting, layer Die line, ink Cutting"},
		{"testdata/artwork/quince-ghostscript.pdf", 60, 40, 3, "ink Cutting"},
		{"testdata/artwork/quince-offset-userunit.pdf", 120, 80, 6, "ink Cutting"},
		{"testdata/artwork/balm-reportlab.pdf", 34, 34, 17, "ink Cutting"},
	} {
		p := open(t, "../../"+c.file, Options{})
		d, err := p.DieLine()
		if err != nil {
			t.Fatalf("%s: %v", c.file, err)
		}
		radius, ok := d.Outline.CornerRadius(geometry.DieTolerance)
		want := geometry.Size{Across: c.across * geometry.Millimetre, Around: c.around * geometry.Millimetre}
		if off := max(gap(geometry.Position(d.Size()), geometry.Position(want)), gap(geometry.Position{Across: radius}, geometry.Position{Across: c.radius * geometry.Millimetre})); !ok || off > 5*geometry.Micrometre {
			t.Errorf("%s: %s, radius %s, %v", c.file, d.Size(), radius, ok)
		}
		if d.By() != c.by || d.OffTrim(p.Size()) > 2*geometry.Micrometre || text(p, DieLineDiffers) != "" {
			t.Errorf("%s: by %s, %s off the trim", c.file, d.By(), d.OffTrim(p.Size()))
		}
	}
}
