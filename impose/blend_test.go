package impose

import (
	"image"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/mark"
	"quoin/impose/witness"
)

// TestTargetsKeepTheirInksBesideArtworkThatBlendsInRGB: in an RGB group, black
// becomes four inks (TV-P13; ISO 32000-1 11.6.6, table 147). That is so of the
// artwork, which is warned of, and must not become so of the frame's targets
// and of another artwork beside it (TV-P14).
func TestTargetsKeepTheirInksBesideArtworkThatBlendsInRGB(t *testing.T) {
	if testing.Short() {
		t.Skip("separates two frames")
	}
	j := placingJob("../testdata/placing/black-in-rgb-group.pdf", "../testdata/placing/underprint-plain.pdf")
	j.WebWidth = 120 * geometry.Millimetre
	j.TargetLane = nil
	j.Targets = job.DefaultTargets()
	im, out := imposed(t, j)
	witness.NoComplaint(t, out)
	r := platesOf(t, out, 144)
	solids := 0
	for _, p := range im.Patches {
		if p.What != mark.Full {
			continue
		}
		solids++
		for name := range r.plates {
			if got := r.at(name, p.Box.Centre()); (got == 255) != (name == p.Ink) || got > 0 && name != p.Ink {
				t.Errorf("the patch of %s holds %d of %s", p.Ink, got, name)
			}
		}
	}
	if solids < 4 {
		t.Errorf("%d solids", solids)
	}
	plain := im.Layout.Station[len(im.Layout.Station)-1].Trim.Centre()
	for _, ink := range []string{"Cyan", "Magenta", "Yellow", "Black"} {
		want := 0
		if ink == "Magenta" {
			want = 255
		}
		if got := r.at(ink, plain); got != want {
			t.Errorf("the artwork beside it holds %d of %s, want %d", got, ink, want)
		}
	}
}

// TestFrameBlendsAsTheArtworkDoes: placed by itself, a page whose group blends
// in RGB or isn't said to be isolated looks as it does as a page (ISO 32000-1
// 11.4.7: a page's group is isolated).
func TestFrameBlendsAsTheArtworkDoes(t *testing.T) {
	if testing.Short() {
		t.Skip("renders six pages")
	}
	for _, name := range []string{"group-blend-space", "group-nonisolated", "group-isolated"} {
		path, out := "../testdata/placing/"+name+".pdf", t.TempDir()+"/frame.pdf"
		if _, err := placeAlone(t.Context(), path, out); err != nil {
			t.Fatal(err)
		}
		d := witness.Compare(witness.MuPDF(t, path, 1, 72), witness.MuPDF(t, out, 1, 72), witness.Tolerance{Over: 2})
		if d.Share > 0 {
			t.Errorf("%s: %v", name, d)
		}
	}
}

// TestPatternPastedIntoAPageIsWrong is the control of TV-P1 and TV-P2: a page's
// content that is pasted into the frame's under a matrix, instead of being a
// form, leaves its patterns behind (ISO 32000-1 8.7.2).
func TestPatternPastedIntoAPageIsWrong(t *testing.T) {
	pattern := witness.Stream("/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 20 20] /XStep 20 /YStep 20 /Resources << >>",
		"1 0 0 rg 0 0 10 10 re f")
	frame := func(content string) string {
		return witness.Handwritten(t,
			"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
			"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 220 120] /Contents 4 0 R /Resources << /Pattern << /P 5 0 R >> /XObject << /A 6 0 R >> >> >>",
			witness.Stream("", content), pattern,
			witness.Stream("/Type /XObject /Subtype /Form /BBox [0 0 100 100] /Resources << /Pattern << /P 5 0 R >> >>", "/Pattern cs /P scn 0 0 100 100 re f"),
		)
	}
	form := frame("q 1 0 0 1 110 10 cm /A Do Q")
	pasted := frame("q 1 0 0 1 110 10 cm /Pattern cs /P scn 0 0 100 100 re f Q")
	for _, r := range renderers {
		for path, red := range map[string]image.Point{form: {115, 104}, pasted: {125, 94}} {
			img := r.draw(t, path, 1, 72)
			for _, p := range []image.Point{{115, 104}, {125, 94}} {
				_, green, _, _ := img.At(p.X, p.Y).RGBA()
				if isRed := green == 0; isRed != (p == red) {
					t.Errorf("%s, pasted %t: red at %v is %t", r.name, path == pasted, p, isRed)
				}
			}
		}
	}
}

// TestLayerPrintsWithoutItsState is the control of TV-P6: a layer that is off
// prints when the catalog that says so is left behind (ISO 32000-1 8.11.4).
func TestLayerPrintsWithoutItsState(t *testing.T) {
	page := func(catalog string) string {
		return witness.Handwritten(t,
			"<< /Type /Catalog /Pages 2 0 R "+catalog+" >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
			"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 50 50] /Contents 4 0 R /Resources << /Properties << /L 5 0 R >> >> >>",
			witness.Stream("", "/OC /L BDC 1 0 0 rg 0 0 50 50 re f EMC"), "<< /Type /OCG /Name (Notes) >>",
		)
	}
	for catalog, prints := range map[string]bool{"": true, "/OCProperties << /OCGs [5 0 R] /D << /OFF [5 0 R] >> >>": false} {
		for _, r := range renderers {
			_, green, _, _ := r.draw(t, page(catalog), 1, 72).At(25, 25).RGBA()
			if (green == 0) != prints {
				t.Errorf("%s with catalog %q: printed %t", r.name, catalog, green == 0)
			}
		}
	}
}
