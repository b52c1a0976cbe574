package verify_test

import (
	"context"
	"slices"
	"testing"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/draw"
	"quoin/impose/job"
	"quoin/impose/verify"
	"quoin/impose/witness"
)

// base is an undamaged file with its summary, written once for all damages.
type base struct{ pdf, summary string }

// frame gives a job of two lanes and two rows on a web of 340 mm.
func frame(paths ...string) *job.Job {
	j := small(paths[0], geometry.Turn0)
	j.WebWidth = 340 * mm
	j.Lanes = 0
	j.Artworks = nil
	for _, p := range paths {
		j.Artworks = append(j.Artworks, job.Artwork{File: p, Page: 1, Quantity: 100, LaneCount: 2 / len(paths)})
	}
	return j
}

// bases writes what is to be damaged.
func bases(t *testing.T) map[string]base {
	t.Helper()
	list := map[string]base{}
	add := func(name string, im *impose.Imposition) {
		pdf, summary := finished(t, im)
		im.Close()
		if r := verified(t, pdf, summary); !r.Same {
			t.Fatalf("%s is not clean: %+v", name, r.Differences)
		}
		list[name] = base{pdf, summary}
	}
	open := func(j *job.Job) *impose.Imposition {
		im, err := impose.Open(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		return im
	}

	// Two products, spots, a die line that is silenced, an output intent, a
	// page group, fonts, an eye mark.
	j := frame("../../samples/artwork/orchard-juice.pdf", "../../samples/artwork/orchard-cider.pdf")
	eye := job.DefaultEyeMark()
	j.Marks.Eye = &eye
	add("orchard", open(j))
	add("plum", open(frame("../../testdata/artwork/plum-pdftex.pdf")))    // layers, one of them off
	add("walnut", open(frame("../../testdata/artwork/walnut-cairo.pdf"))) // images and soft masks
	add("mask", open(frame("../../testdata/placing/softmask-image.pdf")))
	add("default", open(frame("../../testdata/placing/default-rgb.pdf")))
	add("annotation", open(frame("../../testdata/placing/annotation-prints.pdf")))
	add("shared", open(frame(spot(t, "0 .9 .3 .4"), spot(t, "0 .5 .5 .5"))))

	// A white that follows the artwork, choked; and a frame for the second
	// surface.
	j = frame("../../samples/artwork/orchard-juice.pdf", "../../samples/artwork/orchard-cider.pdf")
	j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Choke: mm / 5, Hits: 1}
	add("cover", open(j))
	j = frame("../../testdata/artwork/plum-pdftex.pdf")
	j.Mirror = true
	add("mirrored", open(j))

	// A varnish and a die line that no white stands under, and ticks on bleed.
	j = frame(varnished(t))
	j.Gap, j.Bleed = geometry.Size{Across: 3 * mm, Around: 3 * mm}, 3*mm/2
	j.Inks.Varnish = []string{"Gloss"}
	j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.ByShape, Hits: 1}
	im := open(j)
	if !slices.ContainsFunc(im.Frame.Items, func(i draw.Item) bool { return i.On() == draw.DieLine }) || im.Marks[1].Laid == 0 {
		t.Fatal("no die line, or no tick")
	}
	add("varnish", im)

	// Lanes of different widths, cut by a laser.
	j = frame(witness.PlainLabel(t, 40, 60, "1 0 0 0"), witness.PlainLabel(t, 80, 60, "0 1 0 0"))
	j.Cutting = true
	for i, across := range []geometry.Length{40 * mm, 80 * mm} {
		j.Artworks[i].Label = geometry.Size{Across: across, Around: 60 * mm}
	}
	add("band", open(j))

	// Round labels, nested and clipped along their outline, and their cut.
	j = frame(round(t))
	j.Shape, j.Nest, j.Cutting, j.Lanes, j.Rows = geometry.ShapeCircle, true, true, 0, 0
	j.WebWidth, j.Repeat.Longest = 150*mm, 150*mm
	j.Artworks[0].LaneCount = 0
	add("round", open(j))

	// A white over the whole label that the engine adds above the artwork.
	im = open(frame("../../testdata/placing/spots.pdf"))
	white := slices.IndexFunc(im.Frame.Items, func(i draw.Item) bool { return i.On() != draw.Artwork })
	for _, s := range im.Layout.Station {
		paint := draw.Paint{Tints: []draw.Tint{{Ink: "White", Amount: 1}}, Overprint: true}
		im.Frame.Items = slices.Insert[[]draw.Item, draw.Item](im.Frame.Items, white, draw.Fill{Layer: draw.White, Path: draw.Rectangle(s.Clip), Paint: paint})
	}
	add("white", im)
	return list
}

// varnished writes a label with a square of cyan, a varnish over all and a die
// line on its trim.
func varnished(t *testing.T) string {
	space := func(name string) string {
		return "[/Separation /" + name + " /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 .2 0 0] >>]"
	}
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 200 200] /TrimBox [10 10 190 190] /Resources << /ColorSpace << /V 5 0 R /D "+space("Cutting")+" >> "+
			"/ExtGState << /O << /OP true /op true /OPM 1 >> >> >> >>",
		witness.Stream("", "1 0 0 0 k 50 50 99 99 re f /O gs /V cs 1 scn 0 0 200 200 re f /D CS 1 SCN 10 10 180 180 re S"),
		space("Gloss"))
}

// spot writes a label in one spot ink of this look.
func spot(t *testing.T, look string) string {
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		`<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 150 100] /TrimBox [5 5 145 95]
/Resources << /ColorSpace << /S [/Separation /Plum /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [`+look+`] >>] >> >> >>`,
		witness.Stream("", "/S cs 1 scn 10 10 50 50 re f"),
	)
}

// codes lists the codes of all differences, each once.
func codes(r *verify.Result) (list []string) {
	for _, d := range r.Differences {
		if !slices.Contains(list, d.Code) {
			list = append(list, d.Code)
		}
	}
	return list
}

// round writes a round label of 30 mm.
func round(t *testing.T) string {
	return witness.Handwritten(t,
		"<< /Type /Catalog /Pages 2 0 R >>",
		"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
		"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /MediaBox [0 0 96.3779528 96.3779528] /TrimBox [5.6692913 5.6692913 90.7086614 90.7086614] /Resources << >> >>",
		witness.Stream("", "0 1 0 0 k 0 0 97 97 re f"),
	)
}
