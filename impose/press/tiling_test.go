package press

import (
	"bytes"
	"fmt"
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
	d, err := pdfobj.Open(bytes.NewReader(b.Bytes()), int64(b.Len()), pdfobj.Limits{})
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

// patterned writes a page with a pattern of steps, and so many bytes of content.
func patterned(t *testing.T, step float64, bytes int) string {
	t.Helper()
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] /Contents 4 0 R /Resources << /Pattern << /P 5 0 R >> >> >>",
		witness.Stream("", "/Pattern cs /P scn 0 0 90 90 re f\n"+strings.Repeat("% a long comment, as stored\n", bytes/27)),
		witness.Stream(fmt.Sprintf("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 5 5] /XStep %g /YStep %[1]g /Resources << >>", step), "0 0 5 5 re f"),
	)
}

// TestStationsOfOnePhaseShareAForm: stations 90 mm apart are 9 cells of 10 mm
// apart and see one phase; of cells of 20 mm every other one does, and of cells
// of 7 mm none. A deeper pattern starts from a space that nothing here knows.
func TestStationsOfOnePhaseShareAForm(t *testing.T) {
	for step, want := range map[float64]int{10: 1, 20: 2, 7: 3, 45: 1, 10.001: 3} {
		if n := len(forms(t, write(t, patterned(t, step/25.4*72, 0)))); n != want {
			t.Errorf("cells of %g mm: %d forms, want %d", step, n, want)
		}
	}
	deep := witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] /Contents 4 0 R /Resources << /XObject << /X 6 0 R >> /Pattern << /P 5 0 R >> >> >>",
		witness.Stream("", "/X Do"),
		witness.Stream("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 5 5] /XStep 28.3464567 /YStep 28.3464567 /Resources << >>", "0 0 5 5 re f"),
		witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 90 90] /Resources << /Pattern << /P 5 0 R >> >>", "/Pattern cs /P scn 0 0 90 90 re f"),
	)
	if n := len(forms(t, write(t, deep))); n != 3 {
		t.Errorf("a pattern inside of a form: %d forms, want 3", n)
	}
}

// TestMuchContentIsWrittenOnce: content counts as often as stations want a form
// of their own; too much of it makes all share one. A pattern of a great
// many cells isn't wrapped.
func TestMuchContentIsWrittenOnce(t *testing.T) {
	path := patterned(t, .97, 1<<20)
	if n := len(forms(t, write(t, path))); n != 3 {
		t.Errorf("%d forms for 3 stations", n)
	}
	f, err := artwork.Open(path, artwork.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p, err := f.Page(1)
	if err != nil {
		t.Fatal(err)
	}
	for stations, shared := range map[int]bool{30: false, 31: true} {
		frame := draw.Frame{Size: geometry.Size{Across: geometry.Metre, Around: 10 * geometry.Metre}}
		for i := range stations {
			trim := geometry.BoxAt(geometry.Position{Around: geometry.Length(i) * 90 * geometry.Millimetre}, p.Size())
			frame.Items = append(frame.Items, draw.Place{Trim: trim, Clip: draw.Rectangle(trim)})
		}
		costs, err := Costs([]*artwork.Page{p}, frame)
		if err != nil {
			t.Fatal(err)
		}
		if c := costs[0]; c.Forms != stations || c.Shared != shared || shared != (c.Copied() == 0) {
			t.Errorf("%d stations: %+v", stations, c)
		}
	}
}
