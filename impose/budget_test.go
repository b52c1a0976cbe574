package impose

import (
	"fmt"
	"image"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// tiled is a label of 40 mm with cells of a step, in much content; of paint 2, the
// cells take their colour from whoever paints with them.
func tiled(t *testing.T, step float64, content, paint int) string {
	t.Helper()
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 113.3858268 113.3858268] /Contents 4 0 R /Resources << /ColorSpace << /Q [/Pattern /DeviceCMYK] >> /Pattern << /P 5 0 R >> >> >>",
		witness.Stream("", map[int]string{1: "/Pattern cs /P scn", 2: "/Q cs 1 0 0 0 /P scn"}[paint]+" 0 0 113.4 113.4 re f\n"+strings.Repeat("% a long comment, as stored\n", content/27)),
		witness.Stream(fmt.Sprintf("/PatternType 1 /PaintType %d /TilingType 1 /BBox [0 0 %g %[2]g] /XStep %[2]g /YStep %[2]g /Resources << >>", paint, step/25.4*72),
			fmt.Sprintf("%s 0 0 %g %g re f", map[int]string{1: "0 1 0 0 k"}[paint], step/25.4*36, step/25.4*72)),
	)
}

// TestBudgetIsSaidBeforeWriting: a pitch of a whole number of cells needs no copy,
// and one of any other number none either where patterns can be wrapped. Where they
// can't, labels are copied at each station, and ten times the artworks' bytes are
// warned of.
func TestBudgetIsSaidBeforeWriting(t *testing.T) {
	for _, c := range []struct {
		step   float64 // mm; the pitch is 43 mm both ways
		paint  int
		forms  int
		warned bool
	}{{4.3, 1, 1, false}, {3.7, 1, 1, false}, {4.3, 2, 1, false}, {3.7, 2, 16, true}} {
		j := placingJob(tiled(t, c.step, 200_000, c.paint))
		j.WebWidth, j.Lanes, j.Rows = 4*43*geometry.Millimetre, 4, 4
		im, err := Open(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		defer im.Close()
		s, err := im.Summary(Written{})
		if err != nil {
			t.Fatal(err)
		}
		if s.RIP.Forms != c.forms || s.RIP.PaintsLabels != 16 || warned(s, "rip-budget") != c.warned {
			t.Errorf("cells of %g mm: %+v, %v", c.step, s.RIP, s.Warnings)
		}
		if more := s.RIP.AboutBytes - s.RIP.ArtworkBytes; more < int64(c.forms-1)*207_000 || more > int64(c.forms-1)*208_000 {
			t.Errorf("cells of %g mm: %+v", c.step, s.RIP)
		}
	}
	// White in the artwork's shape, choked, draws each label eight times more.
	j := placingJob(filepath.Join("../testdata/placing", "shading-axial.pdf"))
	j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Choke: 100 * um, Hits: 1}
	im, err := Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	if im.RIP.PaintsLabels != 4*9 {
		t.Errorf("%+v", im.RIP)
	}
}

// TestSharedPhasesAreRight: where stations share a form, each shows the pattern from
// its own corner, in all renderers; by a pitch of whole cells, and by wrapping.
func TestSharedPhasesAreRight(t *testing.T) {
	if testing.Short() {
		t.Skip("renders in three programs")
	}
	for _, step := range []float64{4.3, 3.7} {
		j := placingJob(tiled(t, step, 0, 1))
		j.WebWidth, j.Lanes, j.Rows = 190*geometry.Millimetre, 4, 2
		im, out := imposed(t, j)
		if im.RIP.Forms != 1 {
			t.Fatalf("%d forms", im.RIP.Forms)
		}
		const dpi = 254 // 10 pixels a millimetre
		for name, img := range map[string]image.Image{
			"mupdf": witness.MuPDF(t, out, 1, dpi), "poppler": witness.Poppler(t, out, 1, dpi), "gs": witness.Ghostscript(t, out, 1, dpi),
		} {
			for _, s := range im.Layout.Station {
				wrong := 0
				for cell := range 9 {
					// Cells start at the label's lower left corner: dark, then light.
					x := float64(s.Trim.Min.Across.MM()) + step*float64(cell)
					y := s.Trim.Max.Around.MM() - step*1.5
					for at, dark := range map[float64]bool{0.14: true, 0.37: true, 0.63: false, 0.88: false} {
						r, g, _, _ := img.At(int((x+at*step)*10), int(y*10)).RGBA()
						if (r-g > 0x4000 && g < r) != dark {
							wrong++
						}
					}
				}
				if wrong > 0 {
					t.Errorf("cells of %g mm, %s, lane %d, row %d: %d points of the pattern are off", step, name, s.Lane, s.Row, wrong)
				}
			}
		}
	}
}
