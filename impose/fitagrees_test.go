package impose

import (
	"math"
	"testing"

	"quoin/geometry"
	"quoin/impose/fit"
	"quoin/impose/job"
)

// TestFitAndImposeAgree imposes on every die of the samples that fits, at the
// web and turn that fit says: same grid, same repeat, same metres.
func TestFitAndImposeAgree(t *testing.T) {
	j, err := job.Houses(nil).ReadJob("../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	j.Artworks = []job.Artwork{{File: "artwork/orchard-juice.pdf", Page: 1, Quantity: 100_000}}
	j.Winding, j.Material.Kind, j.Bleed = nil, "", 1500*geometry.Micrometre
	if j.Dies, err = job.ReadDies("../samples/dies.yaml"); err != nil {
		t.Fatal(err)
	}
	looked, err := SurveyArtworks(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	q, err := fit.Ask(looked.Job, looked.Label, len(looked.Inks))
	if err != nil {
		t.Fatal(err)
	}
	r, err := fit.Answer(q)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, l := range r.Layouts {
		if !l.Fits {
			continue
		}
		seen++
		j.Die = l.Die
		s := summaryOf(t, j)
		got := s.Layout
		if got.Across != l.Across || got.Around != l.Around || got.RepeatMM != l.RepeatMM || got.TurnDeg != l.TurnDeg ||
			got.GapAcrossMM != l.GapAcrossMM || got.GapAroundMM != l.GapAroundMM || got.LabelPercent != l.LabelPercent {
			t.Errorf("die %s: fit says %+v, imposing %+v", l.Die, l, got)
		}
		if s.Run.WebNetM != l.WebNetM || math.Abs(s.Run.PressMin-l.PressMin) > 1e-9 || s.Die.WalkMM != l.WalkMM {
			t.Errorf("die %s: fit says %v m and %v min, imposing %v and %v", l.Die, l.WebNetM, l.PressMin, s.Run.WebNetM, s.Run.PressMin)
		}
	}
	if seen < 3 {
		t.Errorf("only %d dies fit: the test sees too little", seen)
	}
}
