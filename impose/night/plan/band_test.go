package plan

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
)

// widthOrders has labels that take 50, 80 and 100 mm of a band with their gap;
// house's band takes 320 of them, for 320 less two bleeds and one gap more is
// 320.
const widthOrders = "order,quantity,label\nA,10000,47x75mm\nB,5000,77x75mm\nC,2500,97x75mm\n"

func widthRules() *night.Rules {
	r := nighttest.Rules()
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
	p := made(t, nighttest.Orders(t, widthOrders), r)
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
	// The usual rule keeps sizes apart.
	r.Widths = false
	p = made(t, nighttest.Orders(t, widthOrders), r)
	if err := p.Compared(t.Context(), nighttest.Orders(t, widthOrders)); err != nil {
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
	p := made(t, nighttest.Orders(t, widthOrders), widthRules())
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
	p := made(t, nighttest.Orders(t, csv), r)
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
	if code := nighttest.CodeOf(p.Notes, ""); code != night.NoInks {
		t.Errorf("a note of %q, and a winding decides all turns", code)
	}
	r.House.Winding = nil
	if p = made(t, nighttest.Orders(t, csv), r); !slices.ContainsFunc(p.Notes, func(n night.Note) bool {
		return strings.HasPrefix(n.Text, "nothing decides the turn of 4 orders: each")
	}) {
		t.Errorf("nothing tells of open turns: %q", p.Notes)
	}
	r.House.Shape = geometry.ShapeEllipse
	for _, g := range made(t, nighttest.Orders(t, csv), r).Groups {
		if g.LabelsMM != nil {
			t.Errorf("ellipses of %v mm share a group", g.LabelsMM)
		}
	}
}

// Whole rolls go with lanes of different widths: 1,200 labels are 100 frames of
// 12 rows, so runs are multiples of that, and every lane ends with a roll.
func TestBandOfWholeRolls(t *testing.T) {
	r := widthRules()
	r.WholeRolls = true
	r.House.Roll.Labels = 1200
	p := made(t, nighttest.Orders(t, widthOrders), r)
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

// TestBandOfOneWidthThatIsLeft: an order that no run can meet leaves its group,
// and those that stay are laid on their own forme: 6 lanes of 50 mm, not the 4 of
// the label of 77 mm that is gone.
func TestBandOfOneWidthThatIsLeft(t *testing.T) {
	r := widthRules()
	r.LeastRun = 30 * geometry.Metre
	p := made(t, nighttest.Orders(t, "order,quantity,label,overs\nA,1,77x75mm,0%\nB,1537,50x75mm,\n"), r)
	if nighttest.CodeOf(p.Unplanned, "A") != night.TooShort || len(p.Runs) != 1 || len(p.Groups) != 1 {
		t.Fatalf("%d runs, left out %v", len(p.Runs), p.Unplanned)
	}
	if run := p.Runs[0]; run.Lanes != 6 || run.Orders[0].Lanes+run.BlankLanes != 6 || run.BlankPlaces < 0 || p.Groups[0].Across != 6 {
		t.Errorf("%d lanes, %d of them blank, %d blank stations: %+v", run.Lanes, run.BlankLanes, run.BlankPlaces, run.Orders)
	}
}
