package artwork

import (
	"math"
	"strings"
	"testing"

	"quoin/impose/witness"
)

// ISO 32000-1 12.5.3 and 12.5.5: which annotations print, and where.
func TestAnnotations(t *testing.T) {
	picture := witness.Stream("/Subtype /Form /BBox [0 0 10 10] /Resources << >>", "0 1 0 0 k 0 0 10 10 re f")
	for annotation, want := range map[string]string{
		"/Subtype /Stamp /F 4 /Rect [20 20 40 40] /AP << /N 5 0 R >>":                          AnnotationPrints,
		"/Subtype /Stamp /F 4 /Rect [40 40 20 20] /AP << /N << /On 5 0 R >> >> /AS /On":        AnnotationPrints,
		"/Subtype /Stamp /F 4 /Rect [20 20 40 40] /AP << /N << /On 5 0 R >> >> /AS /Off":       "",
		"/Subtype /Stamp /F 0 /Rect [20 20 40 40] /AP << /N 5 0 R >>":                          "",
		"/Subtype /Stamp /F 6 /Rect [20 20 40 40] /AP << /N 5 0 R >>":                          "",
		"/Subtype /Popup /F 4 /Rect [20 20 40 40] /AP << /N 5 0 R >>":                          "",
		"/Subtype /PrinterMark /F 4 /Rect [0 0 3 3] /AP << /N 5 0 R >>":                        "", // beyond the bleed
		"/Subtype /Square /F 4 /Rect [20 20 40 40] /C [1 0 0]":                                 AnnotationBare,
		"/Subtype /Link /F 4 /Rect [20 20 40 40]":                                              "",
		"/Subtype /Stamp /F 4 /Rect [20 20 40 40] /AP << /N 6 0 R >>":                          "", // no BBox
		"/Subtype /Stamp /F 4 /AP << /N 5 0 R >>":                                              "",
		"/Subtype /Stamp /F 4 /Rect [20 20 40 40] /AP << /N 5 0 R >> /OC 7 0 R":                LayerHidden,
		"/Subtype /Stamp /F 4 /Rect [1e38 -1e38 1e39 1e38] /AP << /N 5 0 R >>":                 "",
		"/Subtype /Stamp /F 4 /Rect [20 20 40 40] /AP << /N 5 0 R >> >> << /F 4 /Subtype /Ink": AnnotationPrints,
	} {
		path := withCatalog(t, "/OCProperties << /OCGs [7 0 R] /D << /OFF [7 0 R] >> >>", "/Contents 4 0 R /Annots [ << "+annotation+" >> null 99 0 R ]",
			witness.Stream("", ""), picture, witness.Stream("/Subtype /Form", ""), "<< /Type /OCG /Name (Off) >>")
		p := open(t, path, Options{})
		if got := codes(p, always...); got != want {
			t.Errorf("%s: %q, want %q", annotation, got, want)
		}
		prints := want == AnnotationPrints
		if got := usage(p, "Magenta").State == Used; got != prints || len(p.Appearances) > 0 != prints {
			t.Errorf("%s: %s, %+v", annotation, inkList(p), p.Appearances)
		}
		if prints && (p.Appearances[0].Matrix != Matrix{2, 0, 0, 2, 20, 20} || p.Appearances[0].Form.Num != 5) {
			t.Errorf("%s: %+v", annotation, p.Appearances)
		}
	}
	p := open(t, onePage(t, "/Annots [<< /Subtype /Stamp /F 4 /Rect [20 20 40 40] /AP << /N 4 0 R >> >> << /Subtype /Stamp /F 4 /Rect [20 20 40 40] /AP << /N 4 0 R >> >>]", picture), Options{})
	if got := text(p, AnnotationPrints); got != "annotations print and are placed with the page: 2, of the kind Stamp" {
		t.Error(got)
	}
}

// fuzzyMatrix compares matrices to a millionth.
func fuzzyMatrix(a, b Matrix) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-6 {
			return false
		}
	}
	return true
}

// TV-P4: a pattern's matrix, then the form's, then the place of the form.
func TestMatricesFollowEachOther(t *testing.T) {
	pattern, form, place := Matrix{.4, 0, 0, .4, 0, 0}, Matrix{0, -1, 1, 0, -7, 105}, Matrix{1, 0, 0, 1, 110, 10}
	if got, want := pattern.Then(form).Then(place), (Matrix{0, -.4, .4, 0, 103, 115}); !fuzzyMatrix(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestTextStrings(t *testing.T) {
	for name, want := range map[string]string{
		"(Die line)":                       "Die line",
		"<FEFF00440069006500DF>":           "Dieß",
		"<FFFE4400690065001F04>":           "DieП",
		"<EFBBBF4469C3A9>":                 "Dié",
		"(Caf\\351 \\200 \\240)":           "Café • €",
		"<FEFFD83DDE00>":                   "😀",
		"<FEFF0>":                          "",
		"/Name":                            "",
		"(" + strings.Repeat("x", 9) + ")": "xxxxxxxxx",
	} {
		path := withCatalog(t, "/OCProperties << /OCGs [5 0 R] >>", "/Contents 4 0 R /Resources << /Properties << /L 5 0 R >> >>",
			witness.Stream("", "/OC /L BDC EMC"), "<< /Type /OCG /Name "+name+" >>")
		if p := open(t, path, Options{}); len(p.Layers) != 1 || p.Layers[0].Name != want {
			t.Errorf("%s: %+v, want %q", name, p.Layers, want)
		}
	}
}
