package artwork

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
)

// The rules are those of ISO 32000-1 14.11.2 and Table 30: the boxes default
// to the crop box, that to the media box, and all are cut to the media box.
func TestBoxes(t *testing.T) {
	for _, c := range []struct {
		name, entries            string
		media, crop, bleed, trim Rect
		codes                    string
	}{
		{"all given", "/MediaBox [0 0 100 60] /CropBox [1 1 99 59] /BleedBox [2 2 98 58] /TrimBox [5 5 95 55]",
			Rect{0, 0, 100, 60}, Rect{1, 1, 99, 59}, Rect{2, 2, 98, 58}, Rect{5, 5, 95, 55}, ""},
		{"only media", "/MediaBox [0 0 100 60]",
			Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, "no-bleedbox no-trimbox"},
		{"default is the crop box", "/MediaBox [0 0 100 60] /CropBox [10 10 90 50]",
			Rect{0, 0, 100, 60}, Rect{10, 10, 90, 50}, Rect{10, 10, 90, 50}, Rect{10, 10, 90, 50}, "no-bleedbox no-trimbox"},
		{"any two corners", "/MediaBox [100 60 0 0] /BleedBox [2 58 98 2] /TrimBox [95 5 5 55]",
			Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{2, 2, 98, 58}, Rect{5, 5, 95, 55}, ""},
		{"cut to the media box", "/MediaBox [0 0 100 60] /CropBox [-10 -10 200 200] /BleedBox [-3 -3 103 63] /TrimBox [0 0 100 60]",
			Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, "box-outside-media"},
		{"outside of the media box", "/MediaBox [0 0 100 60] /BleedBox [0 0 100 60] /TrimBox [200 200 300 300]",
			Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, "box-nonsense no-trimbox"},
		{"art box only", "/MediaBox [0 0 100 60] /BleedBox [0 0 100 60] /ArtBox [5 5 95 55]",
			Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{5, 5, 95, 55}, "no-trimbox"},
		{"negative origin", "/MediaBox [-50 -30 50 30] /BleedBox [-50 -30 50 30] /TrimBox [-45 -25 45 25]",
			Rect{-50, -30, 50, 30}, Rect{-50, -30, 50, 30}, Rect{-50, -30, 50, 30}, Rect{-45, -25, 45, 25}, ""},
		{"bleed inside trim", "/MediaBox [0 0 100 60] /BleedBox [10 10 90 50] /TrimBox [5 5 95 55]",
			Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{10, 10, 90, 50}, Rect{5, 5, 95, 55}, "bleed-inside-trim"},
		{"no media box", "/MediaBox [0 0 0 0] /BleedBox [0 0 612 792] /TrimBox [9 9 600 700]",
			Rect{0, 0, 612, 792}, Rect{0, 0, 612, 792}, Rect{0, 0, 612, 792}, Rect{9, 9, 600, 700}, "box-nonsense"},
		{"absurd", "/MediaBox [0 0 1e30 60] /BleedBox [0 0 9 9] /TrimBox [(a) 0 9 9]",
			Rect{0, 0, 612, 792}, Rect{0, 0, 612, 792}, Rect{0, 0, 9, 9}, Rect{0, 0, 612, 792}, "bleed-inside-trim box-nonsense no-trimbox"},
		{"indirect numbers", "/MediaBox [0 0 4 0 R 5 0 R] /TrimBox 6 0 R /BleedBox 6 0 R",
			Rect{0, 0, 100, 60}, Rect{0, 0, 100, 60}, Rect{1, 2, 3, 4}, Rect{1, 2, 3, 4}, ""},
	} {
		p := open(t, onePage(t, c.entries, "100", "60", "[1 2 3 4]"), Options{})
		b := p.Boxes
		if b.Media != c.media || b.Crop != c.crop || b.Bleed != c.bleed || b.Trim != c.trim {
			t.Errorf("%s: media %v crop %v bleed %v trim %v", c.name, b.Media, b.Crop, b.Bleed, b.Trim)
		}
		if got := codes(p, NoIntent); got != c.codes {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.codes)
		}
	}
}

// Boxes that can't be are refused with what they say, and never guessed; those
// that nothing depends on are let be.
func TestNonsenseBoxesAreRefused(t *testing.T) {
	for entries, want := range map[string]string{
		"/MediaBox [2147483647 0 2147483747 60]":                                                "the MediaBox [2147483647 0 2147483747 60]",
		"/MediaBox [0 0 100 60] /TrimBox [5 5 5 55] /BleedBox [0 0 9 9]":                        "the TrimBox [5 5 5 55]",
		"/MediaBox [0 0 100 60] /TrimBox [900 0 990 55] /BleedBox [0 0 9 9]":                    "the TrimBox [900 0 990 55] lies outside",
		"/MediaBox [0 0 100 60] /CropBox [0 0 0 0]":                                             "the CropBox [0 0 0 0]",
		"/MediaBox (large) /TrimBox [0 0 9 9]":                                                  "the MediaBox (large)",
		"/MediaBox [0 0 100 60] /CropBox [0 0 0 0] /TrimBox [5 5 95 55] /BleedBox [0 0 100 60]": "",
		"/MediaBox [0 0 100 60] /ArtBox [0 0 0 0] /TrimBox [5 5 95 55]":                         "",
		"/MediaBox null": "the page has no MediaBox",
	} {
		err := open(t, onePage(t, entries), Options{}).Unfit()
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%s: %v, want %s", entries, err, want)
		}
	}
}

// ISO 32000-1 Table 30: Rotate is a multiple of 90, and may be negative or a
// full turn and more.
func TestRotateAndUserUnit(t *testing.T) {
	for _, c := range []struct {
		entries string
		rotate  int
		unit    float64
		codes   string
	}{
		{"", 0, 1, ""},
		{"/Rotate 90", 90, 1, ""}, {"/Rotate 450", 90, 1, ""}, {"/Rotate -270", 90, 1, ""}, {"/Rotate -90", 270, 1, ""},
		{"/Rotate 180.0", 180, 1, ""}, {"/Rotate -720", 0, 1, ""}, {"/Rotate 90000000000090", 90, 1, ""},
		{"/Rotate 45", 0, 1, "rotate-invalid"}, {"/Rotate 90.5", 0, 1, "rotate-invalid"}, {"/Rotate (90)", 0, 1, "rotate-invalid"},
		{"/UserUnit 2.5", 0, 2.5, ""}, {"/UserUnit 0", 0, 1, "userunit-invalid"}, {"/UserUnit -1", 0, 1, "userunit-invalid"},
		{"/UserUnit 1e9", 0, 1, "userunit-invalid"}, {"/UserUnit /Two", 0, 1, "userunit-invalid"},
	} {
		p := open(t, onePage(t, c.entries), Options{})
		if p.Rotate != c.rotate || p.UserUnit != c.unit || codes(p, NoIntent) != c.codes {
			t.Errorf("%s: rotate %d, unit %g, findings %q", c.entries, p.Rotate, p.UserUnit, codes(p, NoIntent))
		}
	}
}

// TV-P3 and TV-P15: the matrices of a box [x0 y0 x1 y1] under Rotate, each
// proved to move the trim's corners to where a viewer shows them.
func TestFormMatrix(t *testing.T) {
	const boxes = " /MediaBox [0 0 120 240] /BleedBox [1 2 110 220] /TrimBox [5 7 105 207]"
	for _, c := range []struct {
		rotate int
		want   Matrix
		size   geometry.Size
		sides  Sides
	}{
		{0, Matrix{1, 0, 0, 1, -5, -7}, sizePt(100, 200), Sides{pt(4), pt(5), pt(13), pt(5)}},
		{90, Matrix{0, -1, 1, 0, -7, 105}, sizePt(200, 100), Sides{pt(5), pt(13), pt(4), pt(5)}},
		{180, Matrix{-1, 0, 0, -1, 105, 207}, sizePt(100, 200), Sides{pt(5), pt(4), pt(5), pt(13)}},
		{270, Matrix{0, 1, -1, 0, 207, -5}, sizePt(200, 100), Sides{pt(13), pt(5), pt(5), pt(4)}},
	} {
		p := open(t, onePage(t, fmt.Sprintf("/Rotate %d", c.rotate)+boxes), Options{})
		if got := p.FormMatrix(); got != c.want {
			t.Errorf("Rotate %d: %v, want %v", c.rotate, got, c.want)
		}
		if got := p.Size(); got != c.size {
			t.Errorf("Rotate %d: %v, want %v", c.rotate, got, c.size)
		}
		if got := p.Bleed(); got != c.sides {
			t.Errorf("Rotate %d: bleed %v, want %v", c.rotate, got, c.sides)
		}
		upright := Rect{0, 0, p.Size().Across.Points(), p.Size().Around.Points()}
		if got := p.FormMatrix().Bounds(p.Boxes.Trim); !near(got, upright) {
			t.Errorf("Rotate %d: the trim lands at %v", c.rotate, got)
		}
	}
	// UserUnit 2 doubles all of it.
	p := open(t, onePage(t, "/UserUnit 2 /Rotate 90"+boxes), Options{})
	if got, want := p.FormMatrix(), (Matrix{0, -2, 2, 0, -14, 210}); got != want {
		t.Errorf("UserUnit 2: %v, want %v", got, want)
	}
	if got, want := p.Size(), sizePt(400, 200); got != want {
		t.Errorf("UserUnit 2: %v, want %v", got, want)
	}
}

// TV-P15: a trim of 50 x 75 mm as writers round it is 50 x 75 mm.
func TestSizeIsTheMillimetresThatWereMeant(t *testing.T) {
	p := open(t, onePage(t, "/MediaBox [0 0 150 221.102] /TrimBox [4.252 4.252 145.984 216.850]"), Options{})
	if got, want := p.Size(), (geometry.Size{Across: 50 * geometry.Millimetre, Around: 75 * geometry.Millimetre}); got != want {
		t.Errorf("%v, want %v", got, want)
	}
}

// A trim is kept to the nanometre, so that labels fill a web that was made for
// them: 500 pt are 176.3889 mm, and two of those 1000 pt.
func TestTrimIsKeptToTheNanometre(t *testing.T) {
	for trim, want := range map[string]geometry.Length{
		"[0 0 500 40]":       geometry.FromPoints(500),
		"[0 0 566.9 40]":     geometry.FromPoints(566.9),
		"[0 0 141.73 40]":    geometry.FromPoints(141.73), // two decimals: not surely 50 mm
		"[1.5 0 143.232 40]": 50 * geometry.Millimetre,
		"[0 0 28.3465 40]":   10 * geometry.Millimetre,
	} {
		p := open(t, onePage(t, "/MediaBox [0 0 600 60] /TrimBox "+trim), Options{})
		if got := p.Size().Across; got != want {
			t.Errorf("%s: %v, want %v", trim, got, want)
		}
	}
	if two := 2 * geometry.FromPoints(500); two > geometry.FromPoints(1000) {
		t.Errorf("two labels of 500 pt take %v", two)
	}
}

func TestShortBleedIsToldPerSide(t *testing.T) {
	for boxes, want := range map[string][]string{
		"/MediaBox [0 0 100 60] /TrimBox [10 10 90 50] /BleedBox [5 5 95 55]": {
			"the bleed is 1.764 mm on every side; 2 mm are wanted"},
		"/MediaBox [0 0 100 60] /TrimBox [10 10 90 50] /BleedBox [0 5 100 60] /Rotate 90": {
			"the bleed at the left is 1.764 mm; 2 mm are wanted"},
		"/MediaBox [0 0 100 60] /TrimBox [10 10 90 50] /BleedBox [0 10 95 60]": {
			"the bleed at the right is 1.764 mm; 2 mm are wanted", "the bleed at the bottom is 0 mm; 2 mm are wanted"},
		"/MediaBox [0 0 100 60] /TrimBox [10 10 90 50] /BleedBox [4.3308 0 100 60]": nil, // 2 mm
	} {
		var told []string
		for _, f := range open(t, onePage(t, boxes), Options{Bleed: 2 * geometry.Millimetre}).Findings {
			if f.Code == BleedShort {
				told = append(told, f.Text)
			}
		}
		if !slices.Equal(told, want) {
			t.Errorf("%s: %q, want %q", boxes, told, want)
		}
	}
}

func pt(v float64) geometry.Length { return geometry.FromPoints(v) }

func sizePt(w, h float64) geometry.Size { return geometry.Size{Across: pt(w), Around: pt(h)} }

// near allows a micrometre, in points.
func near(a, b Rect) bool {
	for i := range a {
		if d := a[i] - b[i]; d > 0.003 || d < -0.003 {
			return false
		}
	}
	return true
}
