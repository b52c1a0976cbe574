package press

import (
	"bytes"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
	"quoin/impose/witness"
)

// write puts an artwork on three stations and gives the file as it is read
// back.
func write(t *testing.T, path string) *pdfobj.Document {
	t.Helper()
	f, err := artwork.Open(path, artwork.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	p, err := f.Page(1)
	if err != nil {
		t.Fatal(err)
	}
	const mm = geometry.Millimetre
	frame := draw.Frame{Size: geometry.Size{Across: 300 * mm, Around: 100 * mm}}
	for i := range 3 {
		trim := geometry.BoxAt(geometry.Position{Across: geometry.Length(i) * 90 * mm}, p.Size())
		frame.Items = append(frame.Items, draw.Place{Trim: trim, Clip: draw.Rectangle(trim)})
	}
	var b bytes.Buffer
	w, err := New(&b, Setup{Artworks: []*artwork.Page{p}})
	if err != nil {
		t.Fatal(err)
	}
	for range 2 { // the second frame has the same places
		if err := w.Frame(frame); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	d, err := pdfobj.Open(bytes.NewReader(b.Bytes()), int64(b.Len()), pdfobj.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// forms gives the forms that the pages name.
func forms(t *testing.T, d *pdfobj.Document) map[pdfobj.Ref]bool {
	t.Helper()
	list := map[pdfobj.Ref]bool{}
	for i := range 2 {
		p, err := d.Page(i)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range d.Dict(d.Dict(p.Dict["Resources"])["XObject"]) {
			list[o.(pdfobj.Ref)] = true
		}
	}
	return list
}

// TestTilingArtworkHasAFormForEachStation: where patterns start from the
// station's form (ISO 32000-1 8.7.2), each station has patterns of its own.
func TestTilingArtworkHasAFormForEachStation(t *testing.T) {
	d := write(t, "../../testdata/placing/pattern-tiling.pdf")
	patterns := map[pdfobj.Object]bool{}
	for ref := range forms(t, d) {
		patterns[d.Dict(d.Dict(d.Dict(ref)["Resources"])["Pattern"])["P"]] = true
	}
	if len(patterns) != 3 {
		t.Errorf("%d patterns for 3 stations on 2 frames", len(patterns))
	}
}

// TestOtherArtworkHasOneForm: nothing is written twice without need.
func TestOtherArtworkHasOneForm(t *testing.T) {
	if n := len(forms(t, write(t, "../../testdata/placing/shading-axial.pdf"))); n != 1 {
		t.Errorf("%d forms", n)
	}
}

// TestFontFindsThePagesResources: a Type 3 font without resources uses those of
// the page that it is used on (ISO 32000-1 9.6.5), which on the frame is
// another page.
func TestFontFindsThePagesResources(t *testing.T) {
	d := write(t, "../../testdata/placing/font-type3.pdf")
	for ref := range forms(t, d) {
		font := d.Dict(d.Dict(d.Dict(d.Dict(ref)["Resources"])["Font"])["F"])
		if d.Dict(d.Dict(font["Resources"])["ColorSpace"])["S"] == nil {
			t.Errorf("the font has no resources: %v", font)
		}
	}
}

// TestPlacingMatrices recomputes the worked placings TV-P4 and TV-P15 by the
// rules of ISO 32000-1 8.3.3 (matrices), 8.7.2 and 8.10.1.
func TestPlacingMatrices(t *testing.T) {
	// A pattern matrix, then the form's matrix of a page turned by 90 degrees,
	// then its place on the frame.
	pattern, form, place := matrix{.4, 0, 0, .4, 0, 0}, matrix{0, -1, 1, 0, -7, 105}, matrix{1, 0, 0, 1, 110, 10}
	if got, want := times(times(pattern, form), place), (matrix{0, -.4, .4, 0, 103, 115}); got != want {
		t.Errorf("the pattern's matrix is %v, want %v", got, want)
	}
	// A trim of 50 x 75 mm off the origin, turned 90 degrees, its lower left
	// corner on the frame 20 mm across and 10 mm from the bottom.
	const mm = geometry.Millimetre
	box := [4]float64{4.252, 4.252, 145.984, 216.850}
	frame := page{repeat: 100 * mm}
	trim := geometry.BoxAt(geometry.Position{Across: 20 * mm, Around: 100*mm - 10*mm - 50*mm}, geometry.Size{Across: 75 * mm, Around: 50 * mm})
	m := times(matrix{1, 0, 0, 1, -box[0], -box[1]},
		frame.placing(draw.Place{Trim: trim, Turn: geometry.Turn90}, box[2]-box[0], box[3]-box[1]))
	for i, want := range (matrix{0, 1, -1, 0, 273.5433, 24.0945}) {
		if d := m[i] - want; d > .0005 || d < -.0005 {
			t.Errorf("number %d is %.4f, want %.4f", i, m[i], want)
		}
	}
	// The label's lower left corner lands at the lower right.
	if x, y := m[0]*box[0]+m[2]*box[1]+m[4], m[1]*box[0]+m[3]*box[1]+m[5]; x < 269 || y > 29 {
		t.Errorf("the lower left corner lands at %.3f, %.3f", x, y)
	}
}

// times gives the matrix that applies m first and then n.
func times(m, n matrix) matrix {
	return matrix{
		m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3],
		m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3],
		m[4]*n[0] + m[5]*n[2] + n[4], m[4]*n[1] + m[5]*n[3] + n[5],
	}
}

// TestMuchContentIsWrittenOnce: a page with patterns and more content than can
// be written again for each station shares one form.
func TestMuchContentIsWrittenOnce(t *testing.T) {
	path := witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] /Contents 4 0 R /Resources << /Pattern << /P 5 0 R >> >> >>",
		witness.Stream("", "/Pattern cs /P scn 0 0 90 90 re f\n"+strings.Repeat("% a long comment, as stored\n", mostOwnContent/27)),
		witness.Stream("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Resources << >>", "0 0 5 5 re f"),
	)
	if n := len(forms(t, write(t, path))); n != 1 {
		t.Errorf("%d forms", n)
	}
}
