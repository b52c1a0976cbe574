package witness

import (
	"fmt"
	"testing"
)

// PlainLabel writes a label of one flat colour with 2 mm of bleed around its
// trim and gives its path. The size is in millimetres, across by around; the
// colour is four operands of k, as "0 1 0 0".
func PlainLabel(t testing.TB, across, around float64, colour string) string {
	t.Helper()
	const pt = 72 / 25.4
	bleed, w, h := 2*pt, across*pt, around*pt
	box := func(out float64) string {
		return fmt.Sprintf("[%.5f %.5f %.5f %.5f]", bleed-out, bleed-out, bleed+w+out, bleed+h+out)
	}
	return Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << >> /MediaBox "+box(bleed)+" /TrimBox "+box(0)+" /BleedBox "+box(bleed)+" >>",
		Stream("", fmt.Sprintf("%s k 0 0 %.5f %.5f re f", colour, w+2*bleed, h+2*bleed)),
	)
}
