package geometry

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// A stroke of 350 mm takes four rows of 75 mm with gaps of 3.175 mm, as 4 x 75 +
// 3 x 3.175 = 309.525, and a bed of 320 mm six lanes of 50 mm with gaps of 3, as 315.
// Frames of whole strokes of 312.7 mm are 938.1 mm at most. Arithmetic.
func TestFlatTool(t *testing.T) {
	w := wish(t)
	w.Stations = []DieStation{{Kind: FullRotary}, {Kind: FlatBed, Width: 320 * Millimetre, Stroke: 350 * Millimetre}, {Kind: SemiRotary}}
	fits, err := RankFlatTools(w)
	if err != nil || len(fits) != 1 { // of the semi-rotary one nobody knows the stroke
		t.Fatalf("%d fits, %v", len(fits), err)
	}
	f := fits[0]
	is(t, "tool", fmt.Sprintf("%s %d x %d, frames %d x %d on %v in %d strokes", f.Die.Station, f.Die.Lanes, f.Die.Rows, f.Across, f.Around, f.Repeat, f.Strokes),
		"flat-bed 6 x 4, frames 6 x 12 on 938.1 mm in 3 strokes")
	if reasons := f.Die.Check(); len(reasons) > 0 {
		t.Errorf("the tool to be made is no die: %+v, %v", f.Die, reasons)
	}
	if again := rank(t, w, *f.Die)[0]; again.WebArea != f.WebArea || again.Repeat != f.Repeat || !again.Fits {
		t.Errorf("in the library it is %+v, as a new tool %+v", again, f)
	}
	w.Stations = []DieStation{{Kind: SemiRotary, Stroke: 60 * Millimetre}}
	if fits, err = RankFlatTools(w); err != nil || len(fits) != 1 || fits[0].Fits || codes(fits[0].Reasons()) != "station-stroke" {
		t.Errorf("a label longer than the stroke: %+v, %v", fits, err)
	}
	w.Webs = nil
	if _, err := RankFlatTools(w); err == nil {
		t.Error("no web was taken")
	}
}

// No grid of lanes and rows that the bed takes, at any turn, costs less web.
func TestNoFlatToolIsBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := wish(t)
		side := rapid.IntRange(20, 200)
		w.Label = Size{Length(side.Draw(t, "across")) * Millimetre, Length(side.Draw(t, "around")) * Millimetre}
		w.Turns = rapid.SampledFrom([][]Turn{{Turn0}, {Turn90}, {Turn0, Turn90}}).Draw(t, "turns")
		s := DieStation{Kind: rapid.SampledFrom([]StationKind{FlatBed, SemiRotary}).Draw(t, "kind"), Stroke: Length(rapid.IntRange(30, 600).Draw(t, "stroke")) * Millimetre}
		s.Width = Length(rapid.IntRange(0, 340).Draw(t, "width")) * Millimetre
		w.Stations = []DieStation{s}
		fits, err := RankFlatTools(w)
		if err != nil {
			t.Fatal(err)
		}
		least := -1.0
		for _, turn := range w.Turns {
			label := w.Label.Turned(turn)
			for lanes := Length(1); lanes < 30; lanes++ {
				block := lanes*(label.Across+w.Gap.Across) - w.Gap.Across
				if web := w.Webs[0]; block+2*w.EdgeMatrix > web.Width || block+2*w.Bleed+2*web.Edge > web.Width || s.Width > 0 && block > s.Width {
					break
				}
				for rows := Length(1); rows*(label.Around+w.Gap.Around)-w.Gap.Around <= s.Stroke; rows++ {
					if cost, ok := costOf(&w, w.Webs[0], rows*(label.Around+w.Gap.Around), lanes*rows); ok && (least < 0 || cost < least) {
						least = cost
					}
				}
			}
		}
		if f := fits[0]; f.Fits != (least >= 0) || f.Fits && f.WebArea > least*(1+1e-9) {
			t.Fatalf("the best tool costs %v (fits %v, %+v), trying all finds %v", f.WebArea, f.Fits, f.Reasons(), least)
		}
	})
}
