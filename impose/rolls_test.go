package impose

import (
	"math"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
)

func summaryOf(t *testing.T, j *job.Job) *summary.Summary {
	t.Helper()
	im, err := Open(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	s, err := im.Summary(Written{Pages: 1})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func warned(s *summary.Summary, code string) bool {
	return slices.ContainsFunc(s.Warnings, func(w say.Note) bool { return w.Code == code })
}

// TestRolls: each lane gives 16,668 labels, 6 rolls of 2,500 and 1,668 over;
// 100,000 / 2,500 = 40. A roll of 2,500 x 78.175 mm on 76.2 mm with 0.15 mm is
// sqrt(76.2^2 + 4 x 0.15 x 195437.5 / pi) = 207.683 mm.
func TestRolls(t *testing.T) {
	j := w1(t, 2)
	j.Roll.Labels, j.Roll.Core, j.Material.Caliper = 2500, 76_200_000, 150_000
	s := summaryOf(t, j)
	if len(s.Rolls) != 1 {
		t.Fatalf("%d products", len(s.Rolls))
	}
	r := s.Rolls[0]
	if r.Ordered != 40 || r.Full != 36 || len(r.Parts) != 6 || r.Parts[5] != (summary.Piece{Lane: 6, Labels: 1668}) || r.Lanes[0] != (summary.LaneRoll{Lane: 1, Labels: 16668, Full: 6, Rest: 1668}) {
		t.Errorf("%+v", r)
	}
	if math.Abs(r.WebM-195.4375) > 1e-9 || math.Abs(r.DiameterMM-207.683) > 5e-4 {
		t.Errorf("%v m, %v mm", r.WebM, r.DiameterMM)
	}

	// Spliced, 6 x 1,668 = 10,008 make four rolls more, and 8 are left.
	yes := true
	j.Roll.Splices = &yes
	r = summaryOf(t, j).Rolls[0]
	left := int64(0)
	for _, p := range r.Parts {
		left += p.Labels
	}
	if r.Full != 40 || len(r.Spliced) != 4 || left != 8 {
		t.Errorf("spliced: %+v", r)
	}

	// The largest diameter decides: 5,639 labels in 300 mm.
	j.Roll.Labels, j.Roll.MaxDiameter = 0, 300*geometry.Millimetre
	if r = summaryOf(t, j).Rolls[0]; r.LabelsPerRoll != 5639 {
		t.Errorf("%d labels in 300 mm", r.LabelsPerRoll)
	}
}

func TestRollsThatContradict(t *testing.T) {
	j := w1(t, 2)
	if s := summaryOf(t, j); len(s.Rolls) != 0 || s.Rolls == nil {
		t.Errorf("rolls that nobody asked for: %+v", s.Rolls)
	}
	j.Roll.Labels, j.Roll.MaxDiameter = 2500, 200*geometry.Millimetre
	if s := summaryOf(t, j); !warned(s, "roll-diameter") || s.Rolls[0].LabelsPerRoll != 2500 || s.Rolls[0].DiameterMM != 0 {
		t.Errorf("no core: %+v, %+v", s.Warnings, s.Rolls)
	}
	j.Roll.Core, j.Material.Caliper = 76_200_000, 150_000
	if s := summaryOf(t, j); !warned(s, "roll-diameter") || s.Rolls[0].LabelsPerRoll != 2500 {
		t.Errorf("too many: %+v", s.Warnings)
	}
	j.Roll.Labels, j.Roll.MaxDiameter = 0, 70*geometry.Millimetre
	if _, err := Open(t.Context(), j); err == nil {
		t.Error("a roll smaller than its core is wound")
	}
}

// TestEachArtworkHasItsOwnRolls: of 33,336 labels in two lanes of 16,668, rolls
// of 1,000 are 16 a lane with 668 over, those of the job's 2,500 are 6 with 1,668.
func TestEachArtworkHasItsOwnRolls(t *testing.T) {
	j := w1(t, 2)
	j.Roll.Labels = 2500
	one := j.Artworks[0]
	one.LaneCount, one.Quantity = 2, 33_336
	other := one
	one.LabelsPerRoll = 1000
	other.LaneCount, other.Quantity = 4, 66_672
	j.Artworks = []job.Artwork{one, other}
	s := summaryOf(t, j)
	if len(s.Rolls) != 2 {
		t.Fatalf("%+v", s.Rolls)
	}
	for i, want := range []struct{ each, full, rest int64 }{{1000, 32, 668}, {2500, 24, 1668}} {
		if r := s.Rolls[i]; r.LabelsPerRoll != want.each || r.Full != want.full || r.Parts[0].Labels != want.rest || math.Abs(r.WebM-0.078175*float64(want.each)) > 1e-6 {
			t.Errorf("product %d: %+v, want %+v", i+1, r, want)
		}
	}
	// One says its rolls and nobody says the other's.
	j.Roll.Labels = 0
	if s = summaryOf(t, j); len(s.Rolls) != 1 || s.Rolls[0].Artwork != 1 {
		t.Errorf("%+v", s.Rolls)
	}
}

// TestMixedLanesHaveNoRolls: two products of 18 stations share the middle of
// three lanes of 12; only their own lanes are counted.
func TestMixedLanesHaveNoRolls(t *testing.T) {
	j := w1(t, 2)
	j.Lanes, j.Roll.Labels = 3, 500
	one, third := j.Artworks[0], j.Artworks[0]
	one.Quantity, one.StationCount = 18_000, 18
	third.Quantity, third.StationCount = 1, 1
	two := one
	two.StationCount = 17
	j.Artworks = []job.Artwork{one, two, third}
	s := summaryOf(t, j)
	if r := s.Rolls[0]; len(r.Lanes) != 1 || r.Lanes[0].Lane != 1 || !slices.Equal(r.Mixed, []int{2}) || r.Full == 0 {
		t.Errorf("%+v", r)
	}
	var text strings.Builder
	if err := s.Text(&text); err != nil {
		t.Fatal(err)
	}
	_, row, _ := strings.Cut(text.String(), "\nRolls      product 3: ")
	row, _, _ = strings.Cut(row, "\n")
	if r := s.Rolls[2]; len(r.Lanes) != 0 || !slices.Equal(r.Mixed, []int{3}) || strings.Contains(row, "full") || !strings.Contains(row, "not counted in lane 3") {
		t.Errorf("%+v: %q", r, row)
	}
}
