package fit

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose/say"
)

const mm = geometry.Millimetre

// wish is that of a plain job; the tests change what they are about.
func wish(label geometry.Size, web geometry.Length) geometry.Wish {
	return geometry.Wish{
		Label: label, Shape: geometry.ShapeRectangle, Radius: geometry.AnyRadius,
		Gap: geometry.Size{Across: 3 * mm, Around: 3 * mm}, Turns: []geometry.Turn{geometry.Turn0},
		Webs: []geometry.Web{{Width: web}}, Repeat: geometry.Repeat{Max: 980 * mm},
		Stripping: geometry.CommonStripping, EdgeMatrix: geometry.EdgeMatrix,
	}
}

func size(across, around geometry.Length) geometry.Size {
	return geometry.Size{Across: across, Around: around}
}

// TestStraightLayouts counts lanes and rows: plain geometry, worked by hand.
func TestStraightLayouts(t *testing.T) {
	for _, c := range []struct {
		id             string
		label, gap     geometry.Size
		web            geometry.Length
		repeat         geometry.Repeat
		across, around int
		gapAround      float64
	}{
		{"TV-G8", size(50*mm, 75*mm), size(3*mm, 3*mm), 330 * mm, geometry.Repeat{Max: 980 * mm}, 6, 12, 3},
		{"TV-G9", size(76_200_000, 50*mm), size(3_175_000, 3*mm), 320 * mm, geometry.Repeat{Max: 980 * mm}, 4, 18, 3},
		{"TV-G10", size(100*mm, 50*mm), size(3*mm, 3*mm), 306 * mm, geometry.Repeat{Max: 980 * mm}, 3, 18, 3},
		{"TV-G11", size(100*mm, 50*mm), size(3*mm, 3*mm), 306 * mm, geometry.FixedRepeat(304_800_000), 3, 5, 10.96},
		{"TV-G12", size(50*mm, 75*mm), size(3*mm, 3_175_000), 340 * mm, geometry.FixedRepeat(457_200_000), 6, 5, 16.44},
		{"TV-G13", size(50*mm, 75*mm), size(3*mm, 3_175_000), 340 * mm, geometry.Repeat{Max: 980 * mm}, 6, 12, 3.175},
	} {
		w := wish(c.label, c.web)
		w.Gap, w.Repeat = c.gap, c.repeat
		r, err := Answer(Question{Wish: w})
		if err != nil {
			t.Fatal(err)
		}
		l := r.Best()
		if l == nil || l.Across != c.across || l.Around != c.around || math.Abs(l.GapAroundMM-c.gapAround) > 1e-9 {
			t.Errorf("%s: %+v", c.id, l)
		}
	}
}

// TestWorkedJob is the order of 100,000 labels, calculated by hand in the
// summary's test too.
func TestWorkedJob(t *testing.T) {
	w := wish(size(50*mm, 75*mm), 340*mm)
	w.Webs[0].Edge, w.Gap.Around, w.Bleed, w.Quantity = 10*mm, 3_175_000, 1_500_000, 100_000
	w.Terms = geometry.Terms{Setup: 60 * geometry.Metre, RunWaste: 3 * geometry.Percent, Speed: 120 * geometry.Metre}
	r, err := Answer(Question{Wish: w})
	if err != nil {
		t.Fatal(err)
	}
	l := r.Best()
	for _, c := range []struct {
		name      string
		got, want float64
		digits    int
	}{
		{"repeat", l.RepeatMM, 938.1, 3}, {"net", l.WebNetM, 1303.021, 3}, {"gross", l.WebGrossM, 1402.112, 3},
		{"label", l.LabelPercent, 84.652, 3}, {"matrix", l.MatrixPercent, 7.995, 3}, {"edge", l.EdgePercent, 7.353, 3},
		{"yield", l.YieldPercent, 78.663, 3}, {"minutes", l.PressMin, 11.684, 3},
	} {
		if say.Fixed(c.got, c.digits) != say.Fixed(c.want, c.digits) {
			t.Errorf("%s is %v, want %v", c.name, c.got, c.want)
		}
	}
}

// TestNothingIsOrdered reckons for 1,000 labels: 72 on 938.1 mm.
func TestNothingIsOrdered(t *testing.T) {
	w := wish(size(50*mm, 75*mm), 340*mm)
	w.Gap.Around = 3_175_000
	r, err := Answer(Question{Wish: w})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := r.Best().WebNetM, 938.1/72; math.Abs(got-want) > 1e-12 {
		t.Errorf("%v m, want %v", got, want)
	}
}

func die(number string, label geometry.Size, lanes, rows int) geometry.Die {
	return geometry.Die{Number: number, Size: label, Shape: geometry.ShapeRectangle, Lanes: lanes, Rows: rows,
		Gap: size(3_175_000, 0), Repeat: 304_800_000, Station: geometry.FullRotary}
}

// TestDieTooWide is TV-G22: plain sums. The matrix of 3 to 5 mm at each edge is
// common practice, no source.
func TestDieTooWide(t *testing.T) {
	w := wish(size(76_200_000, 50*mm), 320*mm)
	w.EdgeMatrix = 5 * mm
	q := Question{Wish: w, Dies: []geometry.Die{die("0103", w.Label, 4, 5)}}
	r, err := Answer(q)
	if err != nil {
		t.Fatal(err)
	}
	if x := r.Layouts[0]; x.Fits || x.Reasons[0].Code != geometry.CodeEdgeMatrix ||
		x.Reasons[0].Nearest != "a web of 324.325 mm would take it; where the shop runs such a die with 3 lanes, say unused-lanes" {
		t.Errorf("%+v", x)
	}
	q.Wish.UnusedLanes = true
	if r, err = Answer(q); err != nil {
		t.Fatal(err)
	}
	best := r.Best()
	if best == nil || best.Across != 3 {
		t.Fatalf("the die isn't offered with a lane less: %+v", r.Layouts)
	}
	const want = "need 324.325 mm, the web gives 320 mm: 3 of its 4 lanes are used"
	if !slices.ContainsFunc(best.Warnings, func(r geometry.Reason) bool {
		return r.Code == geometry.CodeLanesUnused && strings.Contains(r.Text, want) && r.Nearest == "a web of 324.325 mm would take it"
	}) {
		t.Errorf("%+v", best.Warnings)
	}
}

// TestWalk is TV-G20 and TV-G21: a full-rotary die needs a whole number of its
// repeats (columbinelabel.com, Understanding die cutting tolerances in product
// label printing); the walk is plain subtraction.
func TestWalk(t *testing.T) {
	w := wish(size(76_200_000, 50*mm), 330*mm)
	d := die("0103", w.Label, 4, 5)
	for _, c := range []struct {
		frame geometry.Length
		turns int
		why   string
	}{{914_400_000, 3, ""}, {980 * mm, 0, "65.6 mm"}} {
		w.Repeat = geometry.FixedRepeat(c.frame)
		r, err := Answer(Question{Wish: w, Dies: []geometry.Die{d}})
		if err != nil {
			t.Fatal(err)
		}
		l := r.Layouts[0]
		if c.why == "" && (!l.Fits || l.TurnsPerFrame != c.turns || l.WalkMM != 0) {
			t.Errorf("%s: %+v", c.frame, l)
		}
		if c.why != "" && (l.Fits || !strings.Contains(l.Reasons[0].Text, c.why) || !strings.Contains(l.Reasons[0].Nearest, "914.4 mm")) {
			t.Errorf("%s: %+v", c.frame, l)
		}
	}
}

// TestNearMisses tells of a die that is a little larger and of one that takes
// the label turned; a die of another size is only counted.
func TestNearMisses(t *testing.T) {
	w := wish(size(76*mm, 50*mm), 330*mm)
	w.Near = mm / 2
	room := []geometry.Die{die("larger", size(76_500_000, 50*mm), 4, 5), die("turned", size(50*mm, 76*mm), 5, 3), die("other", size(20*mm, 20*mm), 5, 3)}
	room[1].Gap.Across = 3 * mm
	r, err := Answer(Question{Wish: w, Dies: room})
	if err != nil {
		t.Fatal(err)
	}
	want := DieCount{Total: 3, Near: 2}
	if *r.Dies != want || len(r.Layouts) != 3 {
		t.Fatalf("%+v, %d layouts", *r.Dies, len(r.Layouts))
	}
	for i, c := range []struct{ die, code string }{{"turned", "turn"}, {"larger", "size"}, {"other", "size"}} {
		l := r.Layouts[i]
		if l.Die != c.die || len(l.Reasons) == 0 || l.Reasons[0].Code != c.code || l.Near != (i < 2) {
			t.Errorf("%d is %+v", i, l)
		}
	}
	room = append(room, die("right", w.Label, 4, 5))
	if r, err = Answer(Question{Wish: w, Dies: room}); err != nil || len(r.Layouts) != 3 || r.Best().Die != "right" {
		t.Errorf("beside a die that fits: %v, %+v", err, r)
	}
	if r, err = Answer(Question{Wish: w, Dies: room, All: true}); err != nil || len(r.Layouts) != 4 || len(r.Layouts[3].Reasons) == 0 {
		t.Errorf("all: %v, %+v", err, r)
	}
}

// TestRightSizeIsToldOf: an estimator asks why the die of the label's size is
// not among those that fit.
func TestRightSizeIsToldOf(t *testing.T) {
	w := wish(size(76*mm, 50*mm), 330*mm)
	retired := die("old", w.Label, 4, 5)
	retired.Condition = geometry.DieRetired
	r, err := Answer(Question{Wish: w, Dies: []geometry.Die{die("good", w.Label, 4, 5), retired, die("other", size(20*mm, 20*mm), 5, 3)}})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Layouts) != 2 || r.Layouts[1].Die != "old" || r.Layouts[1].Reasons[0].Code != "condition" {
		t.Errorf("%+v", r.Layouts)
	}
}

// TestThinEdgeWarns: without a die nothing has to be stripped yet, so a narrow
// edge is no reason against a straight layout.
func TestThinEdgeWarns(t *testing.T) {
	w := wish(size(100*mm, 50*mm), 306*mm)
	w.Gap.Around = 2_200_000
	w.Webs[0].Width = 310 * mm
	r, err := Answer(Question{Wish: w})
	if err != nil {
		t.Fatal(err)
	}
	var codes []string
	for _, x := range r.Best().Warnings {
		codes = append(codes, x.Code)
	}
	if got := strings.Join(codes, " "); got != "gap-around edge-matrix" {
		t.Errorf("warnings %s: %+v", got, r.Best().Warnings)
	}
}

// TestToolsAndWebs: 96 teeth of 1/8 inch are 304.8 mm, which take 5 rows of 50
// and 3 mm; 84 are 266.7 mm, which take 5 with far less matrix.
func TestToolsAndWebs(t *testing.T) {
	w := wish(size(76_200_000, 50*mm), 340*mm)
	gear := geometry.CircularPitch(geometry.Inch / 8)
	r, err := Answer(Question{Wish: w, Cylinders: []geometry.Cylinder{{Teeth: 96, Gear: gear}, {Teeth: 84, Gear: gear}},
		Stock: []geometry.Web{{Width: 100 * mm}, {Width: 330 * mm}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Tools) != 2 || r.Tools[0].Name() != "84 teeth" || r.Tools[0].Around%5 != 0 || r.Tools[0].TurnsPerFrame != 3 {
		t.Errorf("%+v", r.Tools)
	}
	if len(r.Webs) != 2 || r.Webs[0].WebMM != 330 || r.Webs[0].Across != 4 {
		t.Errorf("%+v", r.Webs)
	}
}

// TestFlatToolsOfEachStroke: a stroke of 320 mm takes 4 rows of 75 mm with gaps of 3 mm, one
// of 160 mm takes 2. They are offered as a plan of a night offers them, and compared at
// the price of their stations.
func TestFlatToolsOfEachStroke(t *testing.T) {
	q := Question{Wish: wish(size(50*mm, 75*mm), 340*mm)}
	q.Wish.Quantity, q.Wish.Gap = 20_000, geometry.Size{Across: 3 * mm, Around: 3 * mm}
	q.Wish.Stations = []geometry.DieStation{{Kind: geometry.FlatBed, Stroke: 320 * mm}, {Kind: geometry.SemiRotary, Stroke: 160 * mm}, {Kind: geometry.FlatBed}}
	r, err := Answer(q)
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string]int{}
	for _, l := range r.Flat {
		rows[l.Station] = l.Around / max(l.Strokes, 1)
		if !l.Fits || l.Die != "" || l.Name() != l.Station {
			t.Errorf("%+v", l)
		}
	}
	if len(r.Flat) != 2 || rows["flat-bed"] < 4 || rows["semi-rotary"] < 2 || len(r.Tools) > 0 {
		t.Errorf("rows of %v, %d of cylinders", rows, len(r.Tools))
	}
	var text strings.Builder
	if err := r.Text(&text); err != nil || !strings.Contains(text.String(), "new tools, semi-rotary and flat-bed") {
		t.Errorf("%v: %s", err, &text)
	}
	q.Dies = []geometry.Die{die("there", size(50*mm, 75*mm), 2, 4)}
	q.Money = &Money{"EUR", map[geometry.StationKind]float64{geometry.SemiRotary: 90}, func(width, _ geometry.Length, run *geometry.Usage) (float64, error) {
		return width.Metres() * run.Gross.Metres(), nil
	}}
	c, err := Compare(q)
	if err != nil {
		t.Fatal(err)
	}
	made := 0
	for _, o := range c.Options {
		if o.NewTool {
			made++
			if web := o.WebMM / 1000 * o.WebGrossM; o.Station != "semi-rotary" || math.Abs(o.Cost-web-90) > 0.01 {
				t.Errorf("a new %s for %g, its web for %g", o.Station, o.Cost, web)
			}
		}
	}
	if made != 1 {
		t.Errorf("%d new tools beside the die room", made)
	}
}

// TestContract holds the keys that scripts read.
func TestContract(t *testing.T) {
	r, err := Answer(Question{Wish: wish(size(50*mm, 75*mm), 340*mm), Dies: []geometry.Die{die("1", size(20*mm, 20*mm), 5, 3)}})
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Schema  string
		Layouts []map[string]any
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Schema != "quoin/fit/1" || len(doc.Layouts) != 1 {
		t.Fatalf("%s", data)
	}
	for _, key := range strings.Fields(`die fits turn_deg across around labels repeat_mm gap_across_mm gap_around_mm
		label_percent matrix_percent edge_percent web_net_m reasons`) {
		if _, ok := doc.Layouts[0][key]; !ok {
			t.Errorf("%s is missing", key)
		}
	}
	reason := doc.Layouts[0]["reasons"].([]any)[0].(map[string]any)
	if reason["code"] != "size" || reason["text"] == "" {
		t.Errorf("reason %v", reason)
	}
}

func TestEmptyDieRoom(t *testing.T) {
	r, err := Answer(Question{Wish: wish(size(50*mm, 75*mm), 340*mm), Dies: []geometry.Die{}})
	if err != nil || r.Best() != nil || r.Err() == nil {
		t.Errorf("%v, %+v", err, r)
	}
}

func TestImpossibleWish(t *testing.T) {
	for _, dies := range [][]geometry.Die{nil, {}} {
		if _, err := Answer(Question{Wish: wish(size(0, 75*mm), 340*mm), Dies: dies}); err == nil {
			t.Error("a label without a width is laid out")
		}
	}
}
