package impose

import (
	"testing"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/job"
	"quoin/impose/witness"
)

// cornerLabel prints cyan in its upper left corner and black in its lower
// right, 40 x 30 mm.
func cornerLabel(t *testing.T) string {
	t.Helper()
	return page(t, "/MediaBox [0 0 113.3858268 85.0393701] /TrimBox [0 0 113.3858268 85.0393701]", "1 0 0 0 k 0 65 20 20 re f 0 0 0 1 k 93 0 20 20 re f")
}

// TestSecondSurfaceIsTheMirrorImage compares the plates of a frame for the
// second surface with those of the same frame for the first, pixel by pixel
// from the other edge: artwork, white, marks, targets and slug.
func TestSecondSurfaceIsTheMirrorImage(t *testing.T) {
	if testing.Short() {
		t.Skip("separates whole frames")
	}
	j := jobFor(cornerLabel(t))
	j.Rows, j.Lanes = 2, 2
	j.WebWidth = 127 * geometry.Millimetre // whole pixels
	j.Inks.Underprint = &job.Underprint{Ink: "White", Shape: job.Flood, Hits: 1}
	plain, first := imposed(t, j)
	mirrored := *j
	mirrored.Mirror = true
	im, second := imposed(t, &mirrored)
	witness.NoComplaint(t, second)
	a, b := witness.Plates(t, first, 1, 100), witness.Plates(t, second, 1, 100)
	// The slug and the patches of white differ: white is printed last here. So
	// artworks and white are compared where the labels stand.
	for name, plate := range a {
		size := plate.Bounds().Size()
		if got := b[name].Bounds().Size(); got != size {
			t.Fatalf("plate %s is %v, want %v", name, got, size)
		}
		inked, off := 0, 0
		for _, s := range plain.Layout.Station {
			px := func(l geometry.Length) int { return int(l.Points() * 100 / 72) }
			for y := px(s.Trim.Min.Around) + 1; y < px(s.Trim.Max.Around)-1; y++ {
				for x := px(s.Trim.Min.Across) + 1; x < px(s.Trim.Max.Across)-1; x++ {
					v := plate.GrayAt(x, y).Y
					if v > 0 {
						inked++
					}
					// A shape that touches a pixel inks it, so edges may move by one.
					near := false
					for dx := -1; dx <= 1; dx++ {
						near = near || b[name].GrayAt(size.X-1-x+dx, y).Y == v
					}
					if !near {
						off++
					}
				}
			}
		}
		if off > 0 || inked == 0 && (name == "Cyan" || name == "Black" || name == "White") {
			t.Errorf("plate %s: %d of %d inked pixels are not mirrored", name, off, inked)
		}
	}
	// Lane 1 stands at the left of the printed face, and the first corner of
	// its label, seen at the left through the film, lies at the right there.
	s := im.Layout.Station[0]
	r := &plateReader{t, 100, b}
	d := 2 * geometry.Millimetre
	left, right := s.Trim.Min.Add(geometry.Size{Across: d, Around: d}), geometry.Position{Across: s.Trim.Max.Across - d, Around: s.Trim.Min.Around + d}
	if l, r := r.at("Cyan", left), r.at("Cyan", right); l != 0 || r != 255 {
		t.Errorf("cyan is %d at the left and %d at the right", l, r)
	}
}

// TestSecondSurfaceSummaryTellsOfThePrintedFace: where the summary says that a
// patch is, the plate has its ink.
func TestSecondSurfaceSummaryTellsOfThePrintedFace(t *testing.T) {
	if testing.Short() {
		t.Skip("separates whole frames")
	}
	j := jobFor(cornerLabel(t))
	j.Rows, j.Lanes, j.Mirror = 2, 2, true
	j.WebWidth = 150 * geometry.Millimetre
	j.Targets.Side = job.Left // all at one side, which must be the left of the face
	im, out := imposed(t, j)
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	r := platesOf(t, out, 100)
	solids := 0
	for _, p := range s.Targets {
		if p.Side != "left" || p.BoxMM[0] > 75 {
			t.Errorf("patch %d stands %s at %g mm", p.Number, p.Side, p.BoxMM[0])
		}
		if p.What != "solid" {
			continue
		}
		solids++
		at := geometry.Position{
			Across: geometry.Length((p.BoxMM[0] + p.BoxMM[2]) / 2 * float64(geometry.Millimetre)),
			Around: geometry.Length((p.BoxMM[1] + p.BoxMM[3]) / 2 * float64(geometry.Millimetre)),
		}
		if got := r.at(p.Inks[0].Ink, at); got != 255 {
			t.Errorf("patch %d: %s is %d at %v", p.Number, p.Inks[0].Ink, got, at)
		}
	}
	if solids == 0 || !s.Layout.SecondSurface {
		t.Errorf("%d solids, second surface %t", solids, s.Layout.SecondSurface)
	}
	for i, st := range s.Stations {
		if want := im.Layout.Station[i].Trim.Min.Across.Points(); st.TrimPt[0]-want > 1e-4 || want-st.TrimPt[0] > 1e-4 {
			t.Errorf("station %d begins at %g pt, want %g", i+1, st.TrimPt[0], want)
		}
	}
	if lanes := s.Lanes; lanes[0].LeftMM > lanes[1].LeftMM {
		t.Error("lane 1 is not at the left of the printed face")
	}
}

// TestSecondSurfaceTurns: a label that stands turned on the printed face is
// composed turned the other way, since mirroring turns it back.
func TestSecondSurfaceTurns(t *testing.T) {
	j := jobFor(cornerLabel(t))
	j.Mirror, j.Turns = true, []geometry.Turn{geometry.Turn90}
	im, err := Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	for _, item := range im.Frame.Items {
		if p, ok := item.(draw.Place); ok && p.Turn != geometry.Turn270 {
			t.Fatalf("composed turned %s", p.Turn)
		}
	}
	if im.Layout.Turn != geometry.Turn90 {
		t.Errorf("the layout is turned %s", im.Layout.Turn)
	}
}
