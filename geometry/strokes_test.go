package geometry

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// TestRowsFitTheStroke: a laser whose field is shorter than the frame cuts it in
// strokes of equally many rows; a new tool leaves as much of its cylinder free as
// does not cut; a die is as long as it is. All sums are plain: 980 mm take 12 rows
// of 75 + 3.175 mm, of which 400 mm cut 5 and 320 mm cut 4.
func TestRowsFitTheStroke(t *testing.T) {
	w := wish(t)
	for _, c := range []struct {
		stroke        string
		rows, strokes int
		said          string
	}{
		{"940mm", 12, 1, ""},
		{"400mm", 12, 3, ""},          // four in each, not 5 + 5 + 2
		{"320mm", 12, 3, ""},          // four
		{"155mm", 12, 6, ""},          // two
		{"860mm", 12, 2, ""},          // 11 would go in one
		{"75mm", 12, 12, ""},          // one by one
		{"74.9mm", 0, 0, "not fit"},   // not even one
		{"0mm", 12, 0, "not checked"}, // the maker doesn't say
	} {
		w.Stations = []DieStation{{Kind: Laser, Width: 330 * Millimetre, Stroke: mustLength(t, c.stroke)}}
		f, err := BestLaser(w)
		if err != nil {
			t.Fatal(err)
		}
		if c.rows == 0 {
			if f.Fits || codes(f.Reasons()) != "station-stroke" {
				t.Errorf("%s: fits %v, %+v", c.stroke, f.Fits, f.Reasons())
			}
			continue
		}
		if !f.Fits || f.Around != c.rows || f.Strokes != c.strokes || f.Die.Rows != c.rows {
			t.Errorf("%s: %d rows in %d strokes, want %d in %d; %+v", c.stroke, f.Around, f.Strokes, c.rows, c.strokes, f.Reasons())
		}
	}
	// 11 rows find room in 870 mm, and are shared by no two strokes: 10 are.
	w.Repeat, w.Stations[0].Stroke = Repeat{Max: 870 * Millimetre}, 400*Millimetre
	f, err := BestLaser(w)
	if err != nil {
		t.Fatal(err)
	}
	is(t, "shed", fmt.Sprintf("%d rows in %d strokes on %v", f.Around, f.Strokes, f.Repeat), "10 rows in 2 strokes on 781.75 mm")
	is(t, "said", codes(f.Warnings), "rows-unused")
	is(t, "text", f.Warnings[0].Text, "the laser station's stroke is 400 mm: of 11 rows that find room 10 are cut, 5 rows in each of 2 strokes")
	// A grid of the die room that is a laser's has free rows, too.
	d := Die{Number: "L", Size: mustSize(t, "50x75mm"), Gap: w.Gap, Station: Laser, Lanes: 5, Rows: 14}
	f = rank(t, w, d)[0]
	is(t, "of the die room", fmt.Sprintf("%v %d rows in %d strokes: %s", f.Fits, f.Around, f.Strokes, codes(f.Warnings)), "true 10 rows in 2 strokes: narrower-web rows-unused rows-unused")
	// Of two stations the better one serves: one is wide, the other long.
	w = wish(t)
	w.Stations = []DieStation{{Kind: Laser, Width: 330 * Millimetre, Stroke: 74 * Millimetre}, {Kind: Laser, Width: 160 * Millimetre, Stroke: 400 * Millimetre}}
	if f, err = BestLaser(w); err != nil || !f.Fits || f.Across != 3 || f.Strokes != 3 {
		t.Errorf("two lasers: %v, fits %v, %d lanes, %+v", err, f.Fits, f.Across, f.Reasons())
	}
}

func TestToolsFitTheStroke(t *testing.T) {
	w := wish(t)
	w.Stations = []DieStation{{Kind: FullRotary, Width: 330 * Millimetre, Stroke: 310 * Millimetre}, {Kind: SemiRotary, Stroke: 300 * Millimetre}}
	// 100 teeth of 1/8 inch are 317.5 mm: four rows would reach 313.125 mm with
	// gaps of 4.375, three reach 286.667.
	tools, err := RankTools([]Cylinder{{100, eighth}}, w)
	if err != nil {
		t.Fatal(err)
	}
	f := tools[0]
	if !f.Fits || f.Die.Rows != 3 || codes(f.Warnings[:1]) != "rows-unused" {
		t.Errorf("a new tool of %d rows, fits %v: %+v, %+v", f.Die.Rows, f.Fits, f.Reasons(), f.Warnings)
	}
	// The dies that are there are refused with what would fit.
	for _, d := range []Die{rotary(t), flat(t)} {
		if d.Station == SemiRotary {
			d.Rows = 4 // 309.525 mm
		}
		f := rank(t, w, d)[0]
		if reasons := f.Reasons(); f.Fits || codes(reasons) != "station-stroke" || reasons[0].Nearest != "a die of 3 rows would fit" {
			t.Errorf("%s: fits %v, %+v", d.Number, f.Fits, reasons)
		}
	}
}

// TestStrokesShareTheRows tries all counts of rows.
func TestStrokesShareTheRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string, low, high int) Length {
			return Length(rapid.IntRange(low, high).Draw(t, name)) * Millimetre
		}
		label, gap, stroke := mm("label", 5, 200), mm("gap", 2, 9), mm("stroke", 20, 500)
		repeat := Repeat{Max: mm("frame", 210, 1000)}
		if rapid.Bool().Draw(t, "fixed") {
			repeat = FixedRepeat(repeat.Max)
		}
		w := Wish{Label: Size{50 * Millimetre, label}, Radius: AnyRadius, Gap: Size{3 * Millimetre, gap},
			Webs: []Web{{Width: 330 * Millimetre}}, Repeat: repeat, Stations: []DieStation{{Kind: Laser, Stroke: stroke}}}
		f, err := BestLaser(w)
		if err != nil {
			t.Fatal(err)
		}
		if label > stroke {
			if f.Fits {
				t.Fatalf("a label of %v in a stroke of %v fits", label, stroke)
			}
			return
		}
		if !f.Fits || f.Strokes < 1 || f.Around%f.Strokes != 0 {
			t.Fatalf("fits %v: %d rows in %d strokes; %+v", f.Fits, f.Around, f.Strokes, f.Reasons())
		}
		pitch := func(rows int) Length {
			if repeat.Fixed > 0 {
				return repeat.Fixed / Length(rows)
			}
			return label + gap
		}
		each := f.Around / f.Strokes
		if cut := Length(each-1)*pitch(f.Around) + label; cut > stroke {
			t.Fatalf("%d rows reach %v, the stroke is %v", each, cut, stroke)
		}
		// No more rows are shared evenly by the fewest strokes that they take.
		room := int(max(repeat.Max, repeat.Fixed) / (label + gap))
		for rows := f.Around + 1; rows <= room; rows++ {
			fewest := 1
			for Length((rows+fewest-1)/fewest-1)*pitch(rows)+label > stroke {
				fewest++
			}
			if rows%fewest == 0 {
				t.Fatalf("%d rows in %d strokes would do, not %d in %d", rows, fewest, f.Around, f.Strokes)
			}
		}
	})
}
