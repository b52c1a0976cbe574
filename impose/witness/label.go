package witness

import (
	"cmp"
	"fmt"
	"testing"
)

// Rounded draws a box of w x h mm at x, y with corners of radius r, the corners as
// curves that stray from a circle by 0.027 % of the radius (elementary geometry).
func Rounded(x, y, w, h, rx, ry float64) string {
	const k = 1 - 0.5522847498
	return fmt.Sprintf("%f %f m %f %f l %f %f %f %f %f %f c %f %f l %f %f %f %f %f %f c %f %f l %f %f %f %f %f %f c %f %f l %f %f %f %f %f %f c h ",
		x+rx, y, x+w-rx, y, x+w-rx*k, y, x+w, y+ry*k, x+w, y+ry,
		x+w, y+h-ry, x+w, y+h-ry*k, x+w-rx*k, y+h, x+w-rx, y+h,
		x+rx, y+h, x+rx*k, y+h, x, y+h-ry*k, x, y+h-ry,
		x, y+ry, x, y+ry*k, x+rx*k, y, x+rx, y)
}

// Label is a label whose artwork draws a line in a spot.
type Label struct {
	W, H   float64 // trim, mm
	Ink    string  // empty: Cutting
	Line   string  // operators of a path in mm, from the trim's lower left corner
	NoTrim bool    // the page has no TrimBox
}

// Write writes the label with 2 mm of bleed, and gives the file's path.
func (d Label) Write(t testing.TB) string {
	const pt, bleed = 72 / 25.4, 2.0
	trim := fmt.Sprintf("/TrimBox [%f %f %f %f]", bleed*pt, bleed*pt, (bleed+d.W)*pt, (bleed+d.H)*pt)
	if d.NoTrim {
		trim = ""
	}
	return Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		fmt.Sprintf("<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 %f %f] %s "+
			"/Resources << /ColorSpace << /Cut [/Separation /%s /DeviceCMYK 5 0 R] >> >> >>", (d.W+2*bleed)*pt, (d.H+2*bleed)*pt, trim, cmp.Or(d.Ink, "Cutting")),
		Stream("", fmt.Sprintf("0 1 0 0 k 0 0 999 999 re f /Cut CS 1 SCN .1 w %f 0 0 %f %f %f cm %s S", pt, pt, bleed*pt, bleed*pt, d.Line)),
		"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] /N 1 >>")
}
