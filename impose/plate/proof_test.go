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
		fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox %s /Contents 4 0 R /Resources << %s /XObject << /L 5 0 R >> >> %s >>", media, proofInks, extra),
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
