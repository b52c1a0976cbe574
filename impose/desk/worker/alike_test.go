package worker

import (
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/alike"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// TestLabelsAreComparedElsewhere: the drawing process finds what a finder of one's own
// finds, is asked once for the same labels, and where it dies, that is said and labels
// that never were compared are tried once.
func TestLabelsAreComparedElsewhere(t *testing.T) {
	if testing.Short() {
		t.Skip("draws plates")
	}
	label := func(bars string) string {
		return witness.Handwritten(t, "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
			"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 150 225] /TrimBox [4.134 6.202 145.866 218.798] /Resources << >> /Contents 4 0 R >>",
			witness.Stream("", "0 0 0 1 k 20 150 100 30 re f "+bars))
	}
	mm := geometry.Millimetre
	j := job.New()
	j.Dir, j.WebWidth, j.Repeat.Longest, j.Label = "/", 340*mm, 320*mm, geometry.Size{Across: 50 * mm, Around: 75 * mm}
	for _, file := range []string{label("20 30 4 12 re f"), label("20 30 4 12 re f 28 30 4 12 re f"), label("0 0 150 225 re f")} {
		j.Artworks = append(j.Artworks, job.Artwork{File: filepath.ToSlash(file), Page: 1})
	}
	if err := j.Validate(); err != nil {
		t.Fatal(err)
	}
	im, err := impose.Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	own := alike.New()
	defer own.Close()
	want, err := own.Compare(t.Context(), im)
	if err != nil || len(want) != 1 {
		t.Fatalf("%v, %v", want, err)
	}
	how := "draw"
	c := &Comparer{Pool: &Pool{Command: as(&how)}}
	defer c.Pool.Close()
	got, err := c.Compare(t.Context(), im)
	if err != nil || len(got) != 1 {
		t.Fatalf("%v, %v", got, err)
	}
	g, w := got[0], want[0]
	if g.A != w.A || g.B != w.B || g.Percent != w.Percent || g.Place != w.Place || g.Picture.Bounds() != w.Picture.Bounds() {
		t.Errorf("%+v is found there, %+v here", g, w)
	}
	c.Pool.Close()
	how = "die"
	if got, err := c.Compare(t.Context(), im); err != nil || len(got) != 1 {
		t.Errorf("labels that were compared are drawn again: %v, %v", got, err)
	}
	dying := &Comparer{Pool: &Pool{Command: as(&how)}}
	defer dying.Pool.Close()
	if _, err := dying.Compare(t.Context(), im); err == nil || !strings.Contains(err.Error(), "ended") {
		t.Errorf("a process that dies: %v", err)
	}
	how = "draw"
	if _, err := dying.Compare(t.Context(), im); err == nil {
		t.Error("labels that could not be compared are tried again at once")
	}
}
