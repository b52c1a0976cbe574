package geometry

import (
	"testing"

	"pgregory.net/rapid"
)

// TestLanesFitTheMachine: station, band and edge matrix limit the lanes of a
// laser, of a new tool and of a die that is too wide. All sums are plain.
func TestLanesFitTheMachine(t *testing.T) {
	stations := []DieStation{{Kind: FullRotary, Width: 250 * Millimetre}, {Kind: Laser, Width: 250 * Millimetre}}
	// 4 x 50 + 3 x 3 = 209 mm; five lanes would be 262 mm.
	laser := func(lanes int) Die {
		return Die{Number: "laser", Size: mustSize(t, "50x75mm"), Station: Laser, Lanes: lanes}
	}
	w := wish(t)
	w.Stations, w.Radius = stations, AnyRadius
	w.Gap = mustSize(t, "3x3.175mm")
	for _, lanes := range []int{0, 4, 6} {
		f := rank(t, w, laser(lanes))[0]
		if !f.Fits || f.Across != 4 || f.Layout().Block.Size().Across != 209*Millimetre {
			t.Errorf("a laser with %d lanes: fits %v with %d lanes, %+v", lanes, f.Fits, f.Across, f.Reasons())
		}
		if said := codes(f.Warnings) == "narrower-web lanes-unused"; said != (lanes > 4) {
			t.Errorf("a laser with %d lanes is warned of: %+v", lanes, f.Warnings)
		}
	}
	narrow := w
	narrow.Stations = []DieStation{{Kind: Laser, Width: 49 * Millimetre}}
	if f := rank(t, narrow, laser(0))[0]; f.Fits || codes(f.Reasons()) != "station-width" {
		t.Errorf("a station narrower than a label: fits %v, %+v", f.Fits, f.Reasons())
	}
	tools, err := RankTools([]Cylinder{{Teeth: 100, Gear: CircularPitch(Inch / 8)}}, w)
	if err != nil {
		t.Fatal(err)
	}
	if f := tools[0]; !f.Fits || f.Across != 4 || f.Die.Lanes != 4 {
		t.Errorf("a new tool: fits %v with %d lanes, %+v", f.Fits, f.Across, f.Reasons())
	}
	// A tool is as wide as it is.
	f := rank(t, w, rotary(t))[0]
	if reasons := f.Reasons(); f.Fits || codes(reasons) != "station-width" || reasons[0].Nearest != "a die of 4 lanes would fit" {
		t.Errorf("a die wider than the station: fits %v, %+v", f.Fits, reasons)
	}
}

// TestAsManyLanesAsThereIsRoomFor counts lanes one by one.
func TestAsManyLanesAsThereIsRoomFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string, low, high int) Length {
			return Length(rapid.IntRange(low, high).Draw(t, name)) * Millimetre
		}
		d := Die{Number: "d", Size: Size{mm("label", 5, 120), 50 * Millimetre}, Gap: Size{mm("gap", 2, 9), 3 * Millimetre},
			Station: rapid.SampledFrom([]StationKind{Laser, SemiRotary}).Draw(t, "station"), Rows: 1}
		d.Lanes = rapid.IntRange(1, 12).Draw(t, "lanes")
		if d.Station == Laser && rapid.Bool().Draw(t, "open") {
			d.Lanes = 0
		}
		widest := mm("widest", 20, 400)
		w := Wish{Label: d.Size, Radius: AnyRadius, Bleed: mm("bleed", 0, 2), Gap: d.Gap, EdgeMatrix: mm("edge matrix", 0, 12), UnusedLanes: true,
			Webs: []Web{{Width: mm("web", 60, 400), Edge: mm("edge", 0, 12)}}, Repeat: Repeat{Max: 300 * Millimetre},
			Stations: []DieStation{{Kind: d.Station, Width: widest}}}
		fits, err := RankDies([]Die{d}, w)
		if err != nil {
			t.Skip(err)
		}
		want := 0
		for n := 1; d.Lanes == 0 || n <= d.Lanes; n++ {
			block := Length(n)*d.Size.Across + Length(n-1)*d.Gap.Across
			web := w.Webs[0]
			if block+2*w.Bleed > web.Width-2*web.Edge || block+2*w.EdgeMatrix > web.Width || d.Station == Laser && block > widest {
				break
			}
			want = n
		}
		if d.Station != Laser && d.cutWidth() > widest {
			want = 0 // the tool doesn't go in
		}
		if f := fits[0]; f.Fits != (want > 0) || f.Fits && f.Across != want {
			t.Fatalf("fits %v with %d lanes, want %d; %+v", f.Fits, f.Across, want, f.Reasons())
		}
	})
}
