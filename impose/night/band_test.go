package night

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/summary"
	"quoin/impose/witness"
)

// widthOrders has labels that take 50, 80 and 100 mm of a band with their gap;
// house's band takes 320 of them, for 320 less two bleeds and one gap more is
// 320.
const widthOrders = "order,quantity,label\nA,10000,47x75mm\nB,5000,77x75mm\nC,2500,97x75mm\n"

func widthRules() *Rules {
	r := rules()
	r.House.Turns = []geometry.Turn{geometry.Turn0}
	r.Widths = true
	return r
}

// bestWhole tries all partitions of three orders into runs, and in each run all
// lanes, and gives the least web in nanometres: orders whole, a make-ready of 60 m
// each, 12 rows to a frame of 938.1 mm.
func bestWhole(quantity, width [3]int64, capacity int64) geometry.Length {
	run := func(orders []int) geometry.Length {
		best := int64(1 << 40)
		var lanes func(i int, left, frames int64)
		lanes = func(i int, left, frames int64) {
			if i == len(orders) {
				best = min(best, frames)
				return
			}
			o := orders[i]
			for n := int64(1); n*width[o] <= left; n++ {
				lanes(i+1, left-n*width[o], max(frames, (quantity[o]+12*n-1)/(12*n)))
			}
		}
		lanes(0, capacity, 0)
		return geometry.Length(best)*938100*geometry.Micrometre + 60*geometry.Metre
	}
	return min(
		run([]int{0})+run([]int{1})+run([]int{2}), run([]int{0, 1, 2}),
		run([]int{0, 1})+run([]int{2}), run([]int{0, 2})+run([]int{1}), run([]int{1, 2})+run([]int{0}))
}

// TestWidthsShareABand: alone, the orders take 139, 105 and 70 frames and three
// make-readies, 474.5634 m; A and C together in 4 lanes and 1 take 209 frames and
// 300 of the 320 mm, B alone 105: as many frames and one make-ready less, 414.5634
// m. Worked by hand, and by trying all.
func TestWidthsShareABand(t *testing.T) {
	r := widthRules()
	r.NoSplit = true
	p := plan(t, orders(t, widthOrders), r)
	best := bestWhole([3]int64{10000, 5000, 2500}, [3]int64{5, 8, 10}, 32)
	if got := fmt.Sprintf("%.4f", p.Total.WebM); got != "414.5634" || got != fmt.Sprintf("%.4f", best.Metres()) || !p.Proved {
		t.Errorf("%s m, best %v, proved %v", got, best, p.Proved)
	}
	if got := fmt.Sprintf("%.4f", p.Alone.WebM); got != "474.5634" {
		t.Errorf("alone %s m", got)
	}
	if len(p.Runs) != 2 || !slices.Equal(runsOf(p, "A"), runsOf(p, "C")) || len(p.Groups) != 1 {
		t.Fatalf("%d runs: %+v", len(p.Runs), p.Runs)
	}
	run := p.Runs[runsOf(p, "A")[0]-1]
	if run.Lanes != 5 || run.BlankLanes != 0 || run.BlankPlaces != 0 || run.BandLeftMM != 20 || run.Frames != 209 {
		t.Errorf("%+v", run)
	}
	if want := [][2]float64{{47, 75}, {77, 75}, {97, 75}}; !slices.Equal(p.Groups[0].LabelsMM, want) || p.Groups[0].LabelMM != want[2] || p.Widths != "mixed" {
		t.Errorf("group %+v", p.Groups[0])
	}
	said := text(t, p)
	for _, want := range []string{"min; 47 x 75 mm, 97 x 75 mm, 20 mm of the band blank", "4 lanes", "32 over, 47 x 75 mm"} {
		if !strings.Contains(said, want) {
			t.Errorf("the report doesn't say %q:\n%s", want, said)
		}
	}
	// The usual rule keeps sizes apart.
	r.Widths = false
	p = plan(t, orders(t, widthOrders), r)
	if err := p.Compared(t.Context(), orders(t, widthOrders)); err != nil {
		t.Fatal(err)
	}
	if i := slices.IndexFunc(p.Compare, func(v Variant) bool { return v.Rule == "labels of different widths in a run" }); i < 0 || fmt.Sprintf("%.4f", p.Compare[i].MoreWebM) != "-60.0000" {
		t.Errorf("comparing says %+v", p.Compare)
	}
	if len(p.Groups) != 3 || fmt.Sprintf("%.4f", p.Total.WebM) != "474.5634" || p.Groups[0].LabelsMM != nil {
		t.Errorf("%d groups, %.4f m", len(p.Groups), p.Total.WebM)
	}
}

// Split orders do no worse than whole ones.
func TestSplitWidthsAreNoWorse(t *testing.T) {
	p := plan(t, orders(t, widthOrders), widthRules())
	if p.Total.WebM > 414.5634+1e-6 {
		t.Errorf("%.4f m", p.Total.WebM)
	}
}

func TestWhatSharesNoBand(t *testing.T) {
	csv := `order,quantity,label,material,flags,winding
A,10000,47x75mm,film,,
B,5000,77x75mm,film,drug-label,
C,2500,97x75mm,film,alone,
D,2500,97x80mm,film,,
E,2500,97x75mm,paper,,
F,2500,75x97mm,film,,out left
G,2500,77x75mm,film,,
`
	r := widthRules()
	r.House.Turns, r.House.Windings = nil, 2
	r.House.Winding = &geometry.Winding{Face: geometry.FaceOut, Leading: geometry.TopLeads}
	p := plan(t, orders(t, csv), r)
	for _, run := range p.Runs {
		var ids []string
		for _, s := range run.Orders {
			ids = append(ids, s.Order)
		}
		if len(ids) > 1 && slices.ContainsFunc(ids, func(id string) bool { return !strings.Contains("AG", id) }) {
			t.Errorf("%v share %s", ids, run.Name)
		}
	}
	for _, g := range p.Groups {
		if g.LabelsMM != nil && g.Orders != 2 {
			t.Errorf("a group of %d orders has labels of %v mm", g.Orders, g.LabelsMM)
		}
	}
	if len(p.Unplanned) > 0 || !slices.ContainsFunc(p.Groups, func(g GroupPart) bool { return g.LabelsMM != nil }) {
		t.Errorf("left out %v, groups %+v", p.Unplanned, p.Groups)
	}
	if code := codeOfOrder(p.Notes, ""); code != NoInks {
		t.Errorf("a note of %q, and a winding decides all turns", code)
	}
	r.House.Winding = nil
	said := text(t, plan(t, orders(t, csv), r))
	if !strings.Contains(said, "nothing decides the turn of 4 orders: each") {
		t.Errorf("nothing tells of open turns:\n%s", said)
	}
	r.House.Shape = geometry.ShapeEllipse
	for _, g := range plan(t, orders(t, csv), r).Groups {
		if g.LabelsMM != nil {
			t.Errorf("ellipses of %v mm share a group", g.LabelsMM)
		}
	}
}

// TestBandIsImposed builds a night of labels of two widths and a lone one, proves
// its PDFs, and finds each order's lanes as wide as its label.
func TestBandIsImposed(t *testing.T) {
	dir, _, r := desk(t, deskOrders)
	csv := "order,quantity,label,artwork\n"
	for i, across := range []int{40, 55, 80} {
		art, err := os.ReadFile(witness.PlainLabel(t, float64(across), 60, "0 1 0 0"))
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprint(across, ".pdf")
		if err := os.WriteFile(filepath.Join(dir, name), art, 0o666); err != nil {
			t.Fatal(err)
		}
		csv += fmt.Sprintf("%d,%d,%dx60mm,%s\n", across, []int{900, 800, 450}[i], across, filepath.Join(dir, name))
	}
	r.Widths, r.Verify = true, true
	r.House.Turns = []geometry.Turn{geometry.Turn0}
	f := openFolder(t, filepath.Join(dir, "night"))
	p, err := Make(t.Context(), orders(t, csv), r, f)
	if err != nil {
		t.Fatal(err)
	}
	// A second start takes the search over, and comes to the same.
	again, err := Make(t.Context(), orders(t, csv), r, f)
	if err != nil || text(t, again) != text(t, p) {
		t.Errorf("the second start says otherwise (%v):\n%s", err, text(t, again))
	}
	if err := p.Build(t.Context(), f); err != nil {
		t.Fatal(err)
	}
	if err := p.Report(f); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	if len(p.Unplanned) > 0 || len(p.Runs) != 1 {
		t.Fatalf("%d runs, left out %v", len(p.Runs), p.Unplanned)
	}
	run := p.Runs[0]
	data, err := os.ReadFile(filepath.Join(dir, "night", run.summary()))
	if err != nil {
		t.Fatal(err)
	}
	var s summary.Summary
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatal(err)
	}
	if s.Run.Frames != run.Frames || s.Layout.Across != run.Lanes || s.Layout.RepeatMM != run.RepeatMM || !s.Layout.LanesDiffer {
		t.Errorf("the summary has %d frames of %d lanes, the plan %d of %d", s.Run.Frames, s.Layout.Across, run.Frames, run.Lanes)
	}
	for i, a := range s.Artworks {
		share := run.Orders[i]
		if len(a.Lanes) != int(share.Lanes) || a.Labels != share.Labels || *a.LabelMM != *share.LabelMM {
			t.Errorf("%+v in the summary, %+v in the plan", a, share)
		}
		for _, lane := range a.Lanes {
			if l := s.Lanes[lane-1]; fmt.Sprintf("%.6f", l.RightMM-l.LeftMM) != fmt.Sprintf("%s.000000", share.Order) {
				t.Errorf("lane %d is %g mm wide, the label %s", lane, l.RightMM-l.LeftMM, share.Order)
			}
		}
	}
	report, err := os.ReadFile(filepath.Join(dir, "night", ReportFile))
	if err != nil || !strings.Contains(string(report), `<li style="flex: 80"><b>Lane`) {
		t.Errorf("the report draws no lane of 80 mm: %v", err)
	}
}

// Whole rolls go with lanes of different widths: 1,200 labels are 100 frames of
// 12 rows, so runs are multiples of that, and every lane ends with a roll.
func TestBandOfWholeRolls(t *testing.T) {
	r := widthRules()
	r.WholeRolls = true
	r.House.Roll.Labels = 1200
	p := plan(t, orders(t, widthOrders), r)
	if len(p.Groups) != 1 || p.Groups[0].LabelsMM == nil || len(p.Unplanned) > 0 {
		t.Fatalf("groups %+v, left out %v", p.Groups, p.Unplanned)
	}
	for _, run := range p.Runs {
		if run.Frames%100 != 0 || run.BandLeftMM < 0 {
			t.Errorf("%s has %d frames and leaves %g mm", run.Name, run.Frames, run.BandLeftMM)
		}
	}
	// Alone: 9 rolls in 6 lanes, 5 in 4, 3 in 3: 200 + 200 + 100 frames.
	if got := fmt.Sprintf("%.2f", p.Alone.WebM); got != "649.05" {
		t.Errorf("alone %s m", got)
	}
}
