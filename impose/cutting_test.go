package impose

import (
	"bytes"
	"image"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/witness"
)

// TestCuttingIsAProcessingStep asks qpdf for the layer and the ink of the
// contours: the keys of ISO 19593-1 as the Arlington PDF model gives them
// (GTS_ProcStepsGroup), and a Separation of its own name.
func TestCuttingIsAProcessingStep(t *testing.T) {
	j := onDie(t)
	j.Cutting = true
	im, path := imposed(t, j)
	q := witness.QPDFJSON(t, path)
	page := q.Get("Root", "Pages", "Kids", 0, "Kids", 0)
	group := q.From(page, "Resources", "Properties", "cutting")
	meta := q.From(group, "GTS_Metadata")
	if got := q.From(meta, "GTS_ProcStepsGroup"); got != "/Structural" {
		t.Errorf("the group is %v", got)
	}
	if got := q.From(meta, "GTS_ProcStepsType"); got != "/Cutting" {
		t.Errorf("the type is %v", got)
	}
	spaces, _ := q.From(page, "Resources", "ColorSpace").(map[string]any)
	found := false
	for name := range spaces {
		space := q.From(page, "Resources", "ColorSpace", name[1:])
		found = found || q.From(space, 0) == "/Separation" && q.From(space, 1) == "/Cutting"
	}
	if !found {
		t.Errorf("no Separation named Cutting among %v", spaces)
	}
	if off := q.Get("Root", "OCProperties", "D", "OFF"); off != nil {
		t.Errorf("layers are off: %v", off)
	}

	// The contour takes no station of the press.
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(s.Inks, summary.Ink{Name: "Cutting", Kind: "technical"}) || s.Run.PrintingInks != 2 {
		t.Errorf("inks %+v, %d print", s.Inks, s.Run.PrintingInks)
	}
}

// TestCuttingComesBetween: over the artworks, under the marks, and the contours
// overprint, so that they knock nothing out.
func TestCuttingComesBetween(t *testing.T) {
	j := onDie(t)
	edge, lane := 2*geometry.Millimetre, 9*geometry.Millimetre
	j.Edge, j.TargetLane, j.Cutting = &edge, &lane, true
	im, _ := imposed(t, j)
	at := slices.IndexFunc(im.Frame.Items, func(i draw.Item) bool { return i.On() == draw.Cutting })
	if at != len(im.Layout.Station) || len(im.Frame.Items) <= at+1 {
		t.Fatalf("item %d of %d, behind %d stations", at, len(im.Frame.Items), len(im.Layout.Station))
	}
	stroke := im.Frame.Items[at].(draw.Stroke)
	if !stroke.Paint.Overprint || stroke.Path.Bounds() != im.Layout.Block {
		t.Errorf("overprints %v, box %v of %v", stroke.Paint.Overprint, stroke.Path.Bounds(), im.Layout.Block)
	}
	j.Cutting = false
	if im, _ := imposed(t, j); slices.ContainsFunc(im.Frame.Items, func(i draw.Item) bool { return i.On() == draw.Cutting }) {
		t.Error("contours are drawn that nobody asked for")
	}
}

// TestCuttingStaysOffAPrintingPlate: an artwork may print a spot of that name.
func TestCuttingStaysOffAPrintingPlate(t *testing.T) {
	j := jobFor(witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		`<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 100 100] /TrimBox [5 5 95 95] /Resources <<
/ColorSpace << /S [/Separation /Cutting /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [1 0 1 0] >>] >> >> >>`,
		witness.Stream("", "/S cs 1 scn 10 10 50 50 re f")))
	j.Inks.Spot, j.Cutting = []string{"Cutting"}, true
	im, _ := imposed(t, j)
	for _, i := range im.Frame.Items {
		if s, ok := i.(draw.Stroke); ok && s.Layer == draw.Cutting && s.Paint.Tints[0].Ink != "Cutting contour" {
			t.Errorf("the contour is drawn in %v", s.Paint.Tints)
		}
	}
}

// TestCuttingDrawings lets outside readers measure the drawings of a frame.
func TestCuttingDrawings(t *testing.T) {
	im, _ := imposed(t, onDie(t))
	dir := t.TempDir()
	write := func(name string, draw func(*bytes.Buffer) error) string {
		var b bytes.Buffer
		if err := draw(&b); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}
	block := im.Layout.Block
	t.Run("dxf", func(t *testing.T) {
		read := witness.DXF(t, write("cut.dxf", func(b *bytes.Buffer) error { return im.WriteCuttingDXF(b) }))[0]
		if read.Release != "AC1009" {
			t.Errorf("release %s is not R12", read.Release)
		}
		cuts, left, top := 0, math.Inf(1), math.Inf(-1)
		for _, e := range read.Entities {
			if e.Layer == "CUT_MM" {
				cuts++
				left, top = min(left, e.Extent.MinX), max(top, e.Extent.MaxY)
			}
		}
		// The drawing's y grows towards the travel, from the frame's trailing end.
		if cuts != 72 || math.Abs(left-block.Min.Across.MM()) > 1e-6 || math.Abs(top-(im.Layout.Repeat-block.Min.Around).MM()) > 1e-6 {
			t.Errorf("%d cuts from %v, up to %v; the block is %v", cuts, left, top, block)
		}
	})
	t.Run("svg", func(t *testing.T) {
		if testing.Short() {
			t.Skip("inkscape takes seconds to start")
		}
		got := witness.InkscapeExtents(t, "CUT_MM", write("cut.svg", func(b *bytes.Buffer) error { return im.WriteCuttingSVG(b) }))[0]
		const half = 0.05 // of the stroke
		if math.Abs(got.MinX-block.Min.Across.MM()+half) > 1e-3 || math.Abs(got.MaxX-block.Max.Across.MM()-half) > 1e-3 {
			t.Errorf("inkscape reads %+v, the block is %v", got, block)
		}
	})
}

// disc is a label of 40 mm, black to the end of 1.5 mm of bleed.
func disc(t *testing.T) string {
	return page(t, "/MediaBox [0 0 121.889764 121.889764] /BleedBox [0 0 121.889764 121.889764] /TrimBox [4.2519685 4.2519685 117.6377953 117.6377953]",
		"0 0 0 1 k 0 0 122 122 re f")
}

// TestNestedFrame lays circles in staggered rows that run on through the seam:
// 8 lanes of 22, where the straight grid holds 7 of 22 (see package nest for the
// published values). Each is clipped to a circle with 1.5 mm of bleed, half the
// gap of 3 mm, and those across the seam are painted at both ends: so the
// picture is black over 176 discs of 43 mm.
func TestNestedFrame(t *testing.T) {
	j := jobFor(disc(t))
	five := 5 * geometry.Millimetre
	j.Edge, j.TargetLane, j.Shape, j.Nest = &five, &five, geometry.ShapeCircle, true
	j.Gap, j.Bleed = geometry.Size{Across: 3 * geometry.Millimetre, Around: 3 * geometry.Millimetre}, 1500*geometry.Micrometre
	j.Repeat.Longest = 980 * geometry.Millimetre
	j.Targets.On, j.Marks = false, job.Marks{}
	im, path := imposed(t, j)
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	if s.Layout.Pattern != "staggered" || s.Layout.Labels != 176 || len(s.Stations) != 176 || s.Run.Frames != 6 {
		t.Errorf("%+v, %d stations", s.Layout, len(s.Stations))
	}
	if !warned(s, "slitting") {
		t.Errorf("nobody is told that no straight slit passes: %+v", s.Warnings)
	}
	if twice := len(im.Frame.Items) - 176; twice < 1 {
		t.Error("no label stands across the seam, so this test sees nothing")
	}
	const dpi = 50
	img := witness.MuPDF(t, path, 1, dpi)
	want := 176 * math.Pi / 4 * 43 * 43
	if got := blackMM2(img, dpi); math.Abs(got/want-1) > 0.003 {
		t.Errorf("%.0f mm2 are black, want %.0f", got, want)
	}
}

func blackMM2(img image.Image, dpi float64) float64 {
	sum, darkest, b := 0.0, 0.0, img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			_, g, _, _ := img.At(x, y).RGBA()
			dark := 1 - float64(g)/0xffff
			sum, darkest = sum+dark, max(darkest, dark)
		}
	}
	// Black alone is not quite black on a screen.
	return sum / darkest * (25.4 / dpi) * (25.4 / dpi)
}

// TestOutlineOfTheLabel reads the label's contour from the file that the job
// names.
func TestOutlineOfTheLabel(t *testing.T) {
	leaf := page(t, "/MediaBox [0 0 170.0787 226.7717] /TrimBox [0 0 170.0787 226.7717]", "0 0 0 1 k 0 0 170 226 re f")
	j := jobFor(leaf)
	j.Shape, j.Outline, j.Cutting = geometry.ShapeOutline, "../samples/outlines/leaf.dxf", true
	im, _ := imposed(t, j)
	if got := im.cuts[0].Bounds().Size(); got != (geometry.Size{Across: 60 * geometry.Millimetre, Around: 80 * geometry.Millimetre}) {
		t.Errorf("the outline is %s", got)
	}
	if box := im.Layout.Label.Area(); im.Layout.Area >= box || im.Layout.Area < box/2 {
		t.Errorf("the label has %v of %v mm2", im.Layout.Area, box)
	}
	for _, c := range []struct{ file, want string }{
		{"../samples/outlines/none.dxf", "no such file"}, {"../samples/job.yaml", "group code"},
	} {
		j.Outline = c.file
		_, err := Open(t.Context(), j)
		if say.KindOf(err) != say.BadFile || !bytes.Contains([]byte(err.Error()), []byte(c.want)) || say.Hint(err) == "" {
			t.Errorf("%s: %v", c.file, err)
		}
	}
	j.Outline, j.Artworks[0].File = "../samples/outlines/leaf.dxf", disc(t)
	if _, err := Open(t.Context(), j); err == nil {
		t.Error("a leaf of 60 x 80 mm cuts a label of 40 x 40 mm")
	}
}
