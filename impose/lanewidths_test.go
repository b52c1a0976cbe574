package impose

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/summary"
	"quoin/impose/witness"
)

// larder puts labels of 40, 55 and 80 mm across on one frame: two lanes of each
// of the first, one of the last.
func larder(t *testing.T) *job.Job {
	t.Helper()
	mm := geometry.Millimetre
	j := jobFor("")
	j.Artworks = nil
	j.Gap, j.Bleed = geometry.Size{Across: 3 * mm, Around: 3 * mm}, mm
	edge, lane := 5*mm, 6*mm
	j.Edge, j.TargetLane = &edge, &lane
	for i, across := range []int{40, 55, 80} {
		j.Artworks = append(j.Artworks, job.Artwork{
			File: witness.PlainLabel(t, float64(across), 60, []string{"1 0 0 0", "0 1 0 0", "0 0 1 0"}[i]), Page: 1,
			Product: []string{"Honey", "Jam", "Syrup"}[i], Quantity: int64([]int{9000, 8000, 4000}[i]),
			Label: geometry.Size{Across: geometry.Length(across) * mm, Around: 60 * mm}, LaneCount: []int{2, 2, 1}[i],
		})
	}
	return j
}

// TestLanesAsWideAsTheirLabels is worked by hand: 2 x 40 + 2 x 55 + 80 and four
// gaps of 3 mm are 282 mm, so the block begins at (340 - 282) / 2 = 29 mm. Seven
// rows of 63 mm fit 500 mm; 9,000 labels in 2 lanes of 7 need 643 frames, which
// make 9,002, 9,002 and 4,501. The positions are read from the written file.
func TestLanesAsWideAsTheirLabels(t *testing.T) {
	witness.Need(t, "qpdf")
	im, out := imposed(t, larder(t))
	measure(t, im, out)
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	want := []summary.Lane{
		{Lane: 1, Artwork: 1, LeftMM: 29, RightMM: 69, Labels: 4501}, {Lane: 2, Artwork: 1, LeftMM: 72, RightMM: 112, Labels: 4501},
		{Lane: 3, Artwork: 2, LeftMM: 115, RightMM: 170, Labels: 4501}, {Lane: 4, Artwork: 2, LeftMM: 173, RightMM: 228, Labels: 4501},
		{Lane: 5, Artwork: 3, LeftMM: 231, RightMM: 311, Labels: 4501},
	}
	if got := fmt.Sprintf("%+v", s.Lanes); got != fmt.Sprintf("%+v", want) {
		t.Errorf("lanes %s", got)
	}
	if s.Run.Frames != 643 || !s.Layout.LanesDiffer || s.Layout.LabelMM != [2]float64{80, 60} || *s.Artworks[1].LabelMM != [2]float64{55, 60} {
		t.Errorf("run %+v, layout %+v", s.Run, s.Layout)
	}
	// (9000 x 40 + 8000 x 55 + 4000 x 80) x 60 of 340 x 441 x 643 mm2.
	if got := fmt.Sprintf("%.4f", s.Run.YieldPercent); got != fmt.Sprintf("%.4f", 100*1_120_000*60/(340*441*643.0)) {
		t.Errorf("yield %s %%", got)
	}
	if !strings.Contains(fmt.Sprint(s.Warnings), "knives at 70.5, 113.5, 171.5, 229.5 mm from the left edge") {
		t.Errorf("nothing says where the knives stand: %v", s.Warnings)
	}
	var text bytes.Buffer
	if err := s.Text(&text); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"labels 40 x 60, 55 x 60, 80 x 60 mm, turned 0 degrees", "page 1, 55 x 60 mm: lanes 3 and 4; 8,000 ordered"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the summary doesn't say %q:\n%s", want, text.String())
		}
	}
}

// Two labels of different heights share a frame at a quarter turn, and on the
// second surface all is mirrored: the positions are those of the printed face.
func TestTurnedAndMirroredLanes(t *testing.T) {
	j := larder(t)
	for i := range j.Artworks {
		a := &j.Artworks[i]
		a.File, a.Label = witness.PlainLabel(t, 60, a.Label.Across.MM(), "0 1 0 0"), geometry.Size{Across: 60 * geometry.Millimetre, Around: a.Label.Across}
	}
	j.Turns = []geometry.Turn{geometry.Turn90}
	_, out := imposed(t, j)
	if out == "" {
		t.Fatal("nothing is written")
	}
	j = larder(t)
	j.Mirror, j.Cutting = true, true
	im, _ := imposed(t, j)
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	if s.Lanes[0].LeftMM != 29 || s.Lanes[4].RightMM != 311 || im.AsSeen.Station[0].Trim.Max.Across != 311*geometry.Millimetre {
		t.Errorf("lanes %+v", s.Lanes)
	}
	// The cut of every lane is as wide as its label.
	var dxf bytes.Buffer
	if err := im.WriteCuttingDXF(&dxf); err != nil {
		t.Fatal(err)
	}
	for i, st := range im.Layout.Station[:5] {
		if got, want := im.CutOn(st).Bounds().Size(), job.LabelOf(im.Job, im.Places[i]); got != want {
			t.Errorf("lane %d is cut %v, want %v", i+1, got, want)
		}
	}
}

func TestLanesOfOneLabelAreAGrid(t *testing.T) {
	j := larder(t)
	j.Artworks = j.Artworks[:1]
	im, _ := imposed(t, j)
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	if s.Layout.LanesDiffer || s.Layout.Across != 2 || s.Artworks[0].LabelMM != nil || s.Layout.LabelMM != [2]float64{40, 60} || warned(s, "lane-widths") {
		t.Errorf("%+v", s.Layout)
	}
}

func TestLanesOfDifferentWidthsRefuse(t *testing.T) {
	for want, spoil := range map[string]func(*job.Job){
		"is not the label of 41 x 60 mm":                      func(j *job.Job) { j.Artworks[0].Label.Across += geometry.Millimetre },
		"the label of lane 3 is 61 mm around and that of":     func(j *job.Job) { j.Artworks[1] = longer(t, j.Artworks[1]) },
		"5 lanes with 1 mm bleed on both sides need 284 mm":   func(j *job.Job) { j.WebWidth = 300 * geometry.Millimetre },
		"is a drug label and shares the frame":                func(j *job.Job) { j.Artworks[2].DrugLabel = true },
		"go with no die, no nesting and no shape but the rec": func(j *job.Job) { j.Shape = geometry.ShapeEllipse },
		"lane 2 has no artwork": func(j *job.Job) {
			for i := range j.Artworks {
				j.Artworks[i].LaneCount, j.Artworks[i].LaneList = 0, []int{[]int{1, 3, 4}[i]}
			}
		},
	} {
		j := larder(t)
		spoil(j)
		im, err := Open(t.Context(), j)
		if err == nil {
			im.Close()
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// longer gives an artwork whose label is 1 mm longer around.
func longer(t *testing.T, a job.Artwork) job.Artwork {
	a.Label.Around += geometry.Millimetre
	a.File = witness.PlainLabel(t, a.Label.Across.MM(), a.Label.Around.MM(), "0 0 0 1")
	return a
}
