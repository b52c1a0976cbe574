package plate

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"quoin/impose/artwork"
	"quoin/impose/witness"
)

const proofInks = `/ColorSpace << /Gold [/Separation /Gold /DeviceCMYK 6 0 R] /Old [/Separation /Old#20Gold /DeviceCMYK 6 0 R]
 /Both [/DeviceN [/Gold /Old#20Gold] /DeviceCMYK 7 0 R] /Doubled [/DeviceN [/Gold /Gold] /DeviceCMYK 7 0 R] >>`

// proofFile is a page with what is placed as form 5, tint functions 6 and 7 and
// whatever else the test adds from 8 on.
func proofFile(t testing.TB, media, extra, content, form string, more ...string) string {
	return witness.Handwritten(t, append([]string{
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox %s /Contents 4 0 R /Resources << %s /ExtGState << /Over << /OP true /op true /OPM 1 >> >> /XObject << /L 5 0 R >> >> %s >>", media, proofInks, extra),
		witness.Stream("", content),
		witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 72 72] /Resources << "+proofInks+" >>", form),
		"<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 .3 .8 0] >>",
		witness.Stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{pop 0 exch dup 0}"),
	}, more...)...)
}

const labelContent = "1 .5 0 0 k 6 6 60 60 re f /Gold cs .8 scn 20 20 20 30 re f /Both cs .5 .4 scn 44 20 10 30 re f"

// proofOf compares a frame of two labels, the second turned by 90 degrees, with
// their artwork, which has a form field that prints.
func proofOf(t *testing.T, frame, form string) *PixelReport {
	t.Helper()
	art := proofFile(t, "[0 0 72 72]", "/Annots [8 0 R]", labelContent, "",
		"<< /Type /Annot /Subtype /Widget /FT /Tx /F 4 /Rect [10 55 40 62] /AP << /N 9 0 R >> >>",
		witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 30 7] /Resources << >>", "0 0 0 1 k 0 0 30 7 re f"))
	page := opened(t, art, 1)
	f := &Frame{
		Page: opened(t, proofFile(t, "[0 0 200 100]", "", frame, form), 1),
		Inks: []string{"Cyan", "Magenta", "Yellow", "Black", "Gold"}, Names: map[string]string{"Old Gold": "Gold"},
		Stations: []Station{
			{Lane: 1, Row: 1, Page: page, Trim: artwork.Rect{10, 10, 82, 82}, Clip: artwork.Rect{10, 10, 82, 82}},
			{Lane: 2, Row: 1, Page: page, Turn: 90, Trim: artwork.Rect{100, 10, 172, 82}, Clip: artwork.Rect{100, 10, 172, 82}},
		},
		Patches: []Patch{{Number: 1, Box: artwork.Rect{180, 10, 190, 20}, Tints: map[string]float64{"Cyan": 40}}},
	}
	r, err := Prove(context.Background(), renderer(t), f, 100)
	if err != nil {
		t.Fatal(err)
	}
	if r.Stations != 2 || r.Patches != 1 || r.Inks != 5 {
		t.Errorf("compared were %+v", r)
	}
	return r
}

const (
	rightFrame = "q 1 0 0 1 10 10 cm /L Do Q q 0 1 -1 0 172 10 cm /L Do Q .4 0 0 0 k 180 10 10 10 re f"
	// What two inks of the artwork put down where they are one ink of the press:
	// 1 - (1 - .5) (1 - .4).
	rightForm = "1 .5 0 0 k 6 6 60 60 re f /Gold cs .8 scn 20 20 20 30 re f .7 scn 44 20 10 30 re f 0 0 0 1 k 10 55 30 7 re f"
)

func TestPixelsOfARightFrame(t *testing.T) {
	if r := proofOf(t, rightFrame, rightForm); r.Differs() {
		t.Errorf("a right frame is off by %v: %v", r.Worst, r.WorstAt)
	}
}

// TestPixelsFind damages a frame in ways that its bytes may hide.
func TestPixelsFind(t *testing.T) {
	const moved = 50. / 1000 / 25.4 * 72 // 50 µm in points
	for _, c := range []struct{ name, frame, form, ink, where string }{
		{"a vanished form field", rightFrame, strings.Replace(rightForm, " 0 0 0 1 k 10 55 30 7 re f", "", 1), "", "lane"},
		{"a doubled colorant", rightFrame, strings.Replace(rightForm, ".7 scn", "/Doubled cs .5 .4 scn", 1), "Gold", "lane"},
		{"a station moved across by 50 µm", strings.Replace(rightFrame, "1 10 10 cm", fmt.Sprintf("1 %f 10 cm", 10+moved), 1), rightForm, "", "lane 1"},
		{"a station moved around by 50 µm", strings.Replace(rightFrame, "0 172 10 cm", fmt.Sprintf("0 172 %f cm", 10+moved), 1), rightForm, "", "lane 2"},
		{"a patch of another tint", strings.Replace(rightFrame, ".4 0 0 0 k", ".5 0 0 0 k", 1), rightForm, "Cyan", "target 1"},
		{"a patch with a second ink", strings.Replace(rightFrame, ".4 0 0 0 k", ".4 0 .1 0 k", 1), rightForm, "Yellow", "target 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := proofOf(t, c.frame, c.form)
			if !r.Differs() {
				t.Fatalf("not found: %+v", r)
			}
			said := r.WorstAt.String()
			if !strings.HasPrefix(said, c.ink) || !strings.Contains(said, c.where) {
				t.Errorf("found %.2f points, %s", r.Worst, said)
			}
		})
	}
}

// rowsOf compares frames of eight labels in two lanes, of which the frame's content
// places the first seven alike and the last as it is told, and a die line in Black.
func rowsOf(t *testing.T, last, after, form string) *PixelReport {
	t.Helper()
	page := opened(t, proofFile(t, "[0 0 72 72]", "", labelContent+" 0 0 0 1 k 10 55 30 7 re f", ""), 1)
	f := &Frame{Inks: []string{"Cyan", "Magenta", "Yellow", "Black", "Gold"}, Names: map[string]string{"Old Gold": "Gold"},
		Drawn: []Drawn{{Box: artwork.Rect{0, 0, 200, 400}, Inks: map[string]bool{"Black": true}}}}
	content := ""
	for i := range 8 {
		x, y := 10+90*float64(i%2), 10+90.123*float64(i/2)
		at := artwork.Rect{x, y, x + 72, y + 72}
		f.Stations = append(f.Stations, Station{Lane: i%2 + 1, Row: i/2 + 1, Page: page, Trim: at, Clip: at})
		place := fmt.Sprintf("q %g %g 72 72 re W n 1 0 0 1 %g %g cm /L Do Q\n", x, y, x, y)
		if i == 7 && last != "" {
			place = last
		}
		content += place
	}
	content += "q /Over gs 0 0 0 1 K .3 w"
	for _, s := range f.Stations {
		content += fmt.Sprintf(" %g %g 68 68 re S", s.Clip[0]+2, s.Clip[1]+2)
	}
	f.Page = opened(t, proofFile(t, "[0 0 200 400]", "", content+" Q "+after, form), 1)
	r, err := Prove(context.Background(), renderer(t), f, 100)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestTwinsAreComparedOnce proves labels that are placed alike by one of them, and
// those that aren't by themselves.
func TestTwinsAreComparedOnce(t *testing.T) {
	const y = 10 + 90.123*3
	moved := func(by float64) string {
		return fmt.Sprintf("q 100 %g 72 72 re W n 1 0 0 1 %g %g cm /L Do Q\n", y, 100+by, y)
	}
	const um50 = 50. / 1000 / 25.4 * 72
	for _, c := range []struct {
		name, last, after string
		distinct          int
		where             string // of what is found; empty for nothing
	}{
		{"all alike", "", "", 1, ""},
		{"the last moved by 50 µm", moved(um50), "", 2, "lane 2, row 4"},
		{"the last left out", "n\n", "", 2, "lane 2, row 4"},
		{"the last clipped", strings.Replace(moved(0), "72 72 re", "40 72 re", 1), "", 2, "lane 2, row 4"},
		{"something painted on one", "", "0 0 .2 0 k 120 120 9 9 re f", 2, "lane 2, row 2"},
		{"something knocked out of one", "", "0 0 0 0 k 20 210 9 9 re f", 2, "lane 1, row 3"},
		{"two on one another", moved(0) + moved(3), "", 2, "lane 2, row 4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rowsOf(t, c.last, c.after, rightForm)
			if r.Stations != 8 || r.Distinct != c.distinct {
				t.Errorf("%d stations, %d of them distinct; want 8, %d", r.Stations, r.Distinct, c.distinct)
			}
			if r.Differs() != (c.where != "") || c.where != "" && !strings.Contains(r.WorstAt.String(), c.where) {
				t.Errorf("off by %v: %v; want %q", r.Worst, r.WorstAt, c.where)
			}
		})
	}
}

// TestEngineHidesOnlyItsPaint makes lighter on labels what lies within the box of a die
// line of the same ink, but not on it.
func TestEngineHidesOnlyItsPaint(t *testing.T) {
	r := rowsOf(t, "", "", strings.Replace(rightForm, "0 0 0 1 k 10", "0 0 0 .5 k 10", 1))
	if !r.Differs() || r.WorstAt.Ink != "Black" {
		t.Errorf("off by %v: %v", r.Worst, r.WorstAt)
	}
}
