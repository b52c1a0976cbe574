package geometry

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func laneLabels(t tester, sizes ...string) []LaneLabel {
	t.Helper()
	var list []LaneLabel
	for _, s := range sizes {
		list = append(list, LaneLabel{Size: mustSize(t, s)})
	}
	return list
}

// TestLanesOfDifferentWidths is worked by hand: 50 + 50 + 80 + 120 and three
// gaps of 3 mm are 309 mm, which leaves 15.5 mm on each side of a web of 340 mm;
// with a bleed of 1.6 mm at both sides 312.2 of the 320 mm between the edges are
// taken. Twelve rows as in the worked job. Arithmetic.
func TestLanesOfDifferentWidths(t *testing.T) {
	r := worked(t)
	r.Bleed = mustLength(t, "1.6mm")
	l, err := PlanLanes(r, laneLabels(t, "50x75mm", "50x75mm", "80x75mm", "120x75mm"))
	if err != nil {
		t.Fatal(err)
	}
	is(t, "across", l.Across, 4)
	is(t, "around", l.Around, 12)
	is(t, "repeat", l.Repeat.String(), "938.1 mm")
	is(t, "widest", l.Label, mustSize(t, "120x75mm"))
	is(t, "area", l.Area, 75*75.0)
	for i, want := range [][4]string{ // trim, then clip
		{"15.5 mm", "65.5 mm", "13.9 mm", "67 mm"},
		{"68.5 mm", "118.5 mm", "67 mm", "120 mm"},
		{"121.5 mm", "201.5 mm", "120 mm", "203 mm"},
		{"204.5 mm", "324.5 mm", "203 mm", "326.1 mm"},
	} {
		s := l.Station[i]
		got := [4]string{s.Trim.Min.Across.String(), s.Trim.Max.Across.String(), s.Clip.Min.Across.String(), s.Clip.Max.Across.String()}
		if got != want || s.Lane != i+1 || s.Row != 1 || s.Trim.Min.Around != mustLength(t, "1.5875mm") {
			t.Errorf("lane %d: %v at %v, want %v", i+1, got, s.Trim.Min.Around, want)
		}
	}
	// 300 x 75 x 12 of 340 x 938.1 mm2, and of the block 309 mm.
	s := l.Split()
	is(t, "split", fmt.Sprintf("%.3f %.3f %.3f", s.Label, s.Matrix, s.Edge), "84.652 6.231 9.118")

	// 24 labels of 50 and 12 of 120 mm to a frame: 100 frames make 2400 and 1200,
	// and 2300 and 1200 ordered are (2300 x 50 + 1200 x 120) x 75 mm2.
	run := mustRun(t, l, []Demand{{2300, 24, 50 * 75}, {1200, 12, 120 * 75}}, Terms{})
	is(t, "frames", run.Frames, 100)
	is(t, "yield", fmt.Sprintf("%.3f", run.Yield), fmt.Sprintf("%.3f", 100*(2300*50+1200*120)*75/(340*93810.0)))
	is(t, "accounts", fmt.Sprintf("%.6f", run.Accounts.Sum()), "100.000000")
}

// At a quarter turn the labels' heights stand across, so those may differ.
func TestTurnedLanes(t *testing.T) {
	r := worked(t)
	r.Turns = []Turn{Turn90}
	l, err := PlanLanes(r, laneLabels(t, "75x50mm", "75x120mm"))
	if err != nil {
		t.Fatal(err)
	}
	is(t, "widths", fmt.Sprint(l.Widths), "[50 mm 120 mm]")
	is(t, "turn", l.Station[0].Turn, Turn90)
}

func TestLanesThatDoNotFit(t *testing.T) {
	for want, sizes := range map[string][]string{
		"the label of lane 2 is 80 mm around and that of lane 1 75 mm": {"50x75mm", "50x80mm"},
		"3 lanes with 0 mm bleed on both sides need 321 mm across":     {"105x75mm", "105x75mm", "105x75mm"},
		"lane 2: a label of 0 x 75 mm has no area":                     {"50x75mm", "0x75mm"},
		"no lane has a label":                                {},
		"one row with 3.175 mm gap needs 1003.175 mm around": {"50x1000mm"},
	} {
		l, err := PlanLanes(worked(t), laneLabels(t, sizes...))
		var e *NotFitError
		if !errors.As(err, &e) || l != nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// Lanes of one width are a grid, and random lanes keep their order, their gaps
// and the band; whether they fit is what their shares of the band say.
func TestLanesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := worked(t)
		r.Bleed = Length(rapid.Int64Range(0, 20).Draw(t, "bleed")) * 100 * Micrometre
		r.Shift = Length(rapid.Int64Range(-50, 50).Draw(t, "shift")) * 100 * Micrometre
		widths := rapid.SliceOfN(rapid.Int64Range(50, 1500), 1, 12).Draw(t, "widths")
		if rapid.Bool().Draw(t, "alike") {
			for i := range widths {
				widths[i] = widths[0]
			}
		}
		var lanes []LaneLabel
		var across []Length
		alike := true
		for _, w := range widths {
			label := Size{Length(w) * 100 * Micrometre, r.Label.Around}
			lanes, across, alike = append(lanes, LaneLabel{Size: label}), append(across, label.Across), alike && w == widths[0]
		}
		l, err := PlanLanes(r, lanes)
		capacity, shares := LaneShare(r.Web, r.Gap.Across, r.Bleed, r.Shift, across)
		sum := int64(0)
		for _, s := range shares {
			sum += s
		}
		if (err == nil) != (sum <= capacity) {
			t.Fatalf("shares %v of %d, and the layout says %v", shares, capacity, err)
		}
		if alike {
			grid := r
			grid.Label, grid.Lanes = lanes[0].Size, len(lanes)
			g, again := Plan(grid)
			if (again == nil) != (err == nil) || err == nil && !reflect.DeepEqual(g.Station, l.Station) {
				t.Fatalf("lanes of one width are no grid: %v, %v", err, again)
			}
		}
		if err != nil {
			return
		}
		left := r.Web.Margin() + r.Bleed
		for i, s := range l.Station[:l.Across] {
			if s.Trim.Min.Across < left || s.Trim.Size().Across != across[i] {
				t.Fatalf("lane %d stands at %v, the one before it ends at %v", i+1, s.Trim, left)
			}
			left = s.Trim.Max.Across + r.Gap.Across
		}
		if left-r.Gap.Across+r.Bleed > r.Web.Width-r.Web.Margin() {
			t.Fatalf("the last lane reaches %v", left)
		}
		if off := l.Block.Min.Across + l.Block.Max.Across - r.Web.Width - 2*r.Shift; off < -1 || off > 1 {
			t.Fatalf("the block is %v off its place", off)
		}
	})
}

func TestLaneShareRoundsOddLengths(t *testing.T) {
	// 50.000001 and 70 mm with gaps of 3 mm have no common unit of a micrometre.
	capacity, widths := LaneShare(Web{Width: 340 * Millimetre, Edge: 10 * Millimetre}, 3*Millimetre, 0, 0, []Length{50*Millimetre + 1, 70 * Millimetre})
	is(t, "capacity", capacity, int64(323_000))
	is(t, "widths", fmt.Sprint(widths), "[53001 73000]")
	capacity, widths = LaneShare(Web{Width: 340 * Millimetre, Edge: 10 * Millimetre}, 3*Millimetre, 0, 0, []Length{47 * Millimetre, 72 * Millimetre})
	is(t, "capacity", capacity, int64(12)) // of 25 mm: 323 / 25
	is(t, "widths", fmt.Sprint(widths), "[2 3]")
}

// Sum returns the total, which is 100 but for rounding.
func (a Accounts) Sum() float64 {
	return a.Label + a.Overs + a.Matrix + a.Edge + a.Tail + a.Run + a.MakeReady
}
