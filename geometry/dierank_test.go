package geometry

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// wish is the worked job's, on the web of 340 mm.
func wish(t tester) Wish {
	return Wish{
		Label: mustSize(t, "50x75mm"), Radius: AnyRadius, Bleed: mustLength(t, "1.5mm"), Turns: []Turn{Turn0},
		Stripping: CommonStripping, EdgeMatrix: EdgeMatrix,
		Webs:   []Web{{Width: 340 * Millimetre, Edge: 10 * Millimetre}},
		Repeat: Repeat{Max: 980 * Millimetre}, Quantity: 100_000,
		Terms: Terms{Setup: 60 * Metre, RunWaste: 3 * Percent, Speed: 120 * Metre},
		Gap:   mustSize(t, "3x3.175mm"), Near: Millimetre,
	}
}

func rank(t tester, w Wish, dies ...Die) []Fit {
	t.Helper()
	fits, err := RankDies(dies, w)
	if err != nil {
		t.Fatal(err)
	}
	return fits
}

func codes(reasons []Reason) string {
	var out []string
	for _, r := range reasons {
		out = append(out, r.Code)
	}
	return strings.Join(out, " ")
}

// The semi-rotary die gives the worked job of run_test.go to the last digit.
func TestRankWorkedJob(t *testing.T) {
	rotary, flat := rotary(t), flat(t)
	fits := rank(t, wish(t), rotary, flat)
	best, second := fits[0], fits[1]
	is(t, "best", best.Die.Number, "S-3")
	is(t, "second", second.Die.Number, "R-100")
	is(t, "grid", fmt.Sprintf("%d x %d = %d on %v", best.Across, best.Around, best.Labels(), best.Repeat), "6 x 12 = 72 on 938.1 mm")
	is(t, "frames", best.Run.Frames, 1389)
	is(t, "metres", fmt.Sprintf("%.3f %.3f", best.Run.Net.Metres(), best.Run.Gross.Metres()), "1303.021 1402.112")
	is(t, "minutes", fmt.Sprintf("%.3f", best.Run.Minutes), "11.684")
	is(t, "split", fmt.Sprintf("%.3f %.3f %.3f", best.Split.Label, best.Split.Matrix, best.Split.Edge), "84.652 7.995 7.353")
	is(t, "yield", fmt.Sprintf("%.3f", best.Run.Yield), "78.663")
	is(t, "cost", fmt.Sprintf("%.3f m2", best.WebArea/1e6), "476.718 m2") // 0.34 m x 1402.111527 m
	is(t, "rotary grid", fmt.Sprintf("%d x %d on %v, gap %v", second.Across, second.Around, second.Repeat, second.Gap), "6 x 12 on 952.5 mm, gap 3 x 4.375 mm")
	// 1389 frames of 952.5 mm.
	is(t, "rotary metres", fmt.Sprintf("%.4f", second.Run.Net.Metres()), "1323.0225")
	for _, f := range fits {
		if !f.Fits || f.Near || len(f.Reasons()) > 0 {
			t.Errorf("%s: %+v", f.Die.Number, f.Reasons())
		}
	}
	// Bleeds of 1.5 mm meet in the middle of the gap of 3 mm.
	is(t, "warnings", codes(best.Warnings), "")
}

func TestRankReasons(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Die, *Wish)
		codes  string
		text   string // of the first
		way    string
		near   bool
	}{
		{"fits", func(d *Die, w *Wish) {}, "", "", "", false},
		// A label of 314.325 mm with 5 mm at each edge on a web of 320 mm. Plain
		// arithmetic; the edge matrix is common practice, no source.
		{"edge matrix", func(d *Die, w *Wish) {
			d.Size, d.Lanes = mustSize(t, "314.325x75mm"), 1
			w.Label, w.EdgeMatrix, w.Webs = d.Size, 5*Millimetre, []Web{{Width: 320 * Millimetre}}
		}, "edge-matrix", "the lanes with a matrix of 5 mm at each edge need 324.325 mm, the web gives 320 mm", "a web of 324.325 mm would take it", false},
		{"half a millimetre larger", func(d *Die, w *Wish) { d.Size = mustSize(t, "50x75.5mm") },
			"size", "the die cuts 50 x 75.5 mm, the label is 50 x 75 mm", "a label of 50 x 75.5 mm would use it", true},
		{"within the tolerance", func(d *Die, w *Wish) { d.Size = mustSize(t, "50.05x74.95mm") }, "", "", "", false},
		{"just beyond it", func(d *Die, w *Wish) { d.Size = mustSize(t, "50.050001x75mm") }, "size", "", "", true},
		{"far larger", func(d *Die, w *Wish) { d.Size = mustSize(t, "50x76.5mm") }, "size", "", "", false},
		{"turned", func(d *Die, w *Wish) { w.Label = mustSize(t, "75x50mm") },
			"turn", "the die takes the label only turned to 90 degrees, which the winding does not allow", "a turn of 90 degrees would use it", true},
		{"turn allowed", func(d *Die, w *Wish) { w.Label, w.Turns = mustSize(t, "75x50mm"), []Turn{Turn0, Turn270} }, "", "", "", false},
		{"the best liked turn wins", func(d *Die, w *Wish) { w.Turns = []Turn{Turn180, Turn0} }, "", "", "", false},
		{"circle for rectangle", func(d *Die, w *Wish) { w.Shape, w.Label = ShapeCircle, mustSize(t, "50x50mm") },
			"shape", "the die is of shape rectangle, the label is of shape circle", "", false},
		{"other outline", func(d *Die, w *Wish) {
			d.Shape, w.Shape, d.Outline, w.Outline = ShapeOutline, ShapeOutline, "leaf", "drop"
		},
			"shape", `the die is the outline "leaf", the label is the outline "drop"`, "", false},
		{"outlines don't turn", func(d *Die, w *Wish) {
			d.Shape, w.Shape, d.Outline, w.Outline, w.Turns = ShapeOutline, ShapeOutline, "leaf", "leaf", []Turn{Turn180}
		}, "turn", "the die takes the label only turned to 0 degrees", "", true},
		{"radius", func(d *Die, w *Wish) { w.Radius, d.Radius = 3*Millimetre, 2*Millimetre },
			"radius", "the die's corners have a radius of 2 mm, the label's 3 mm", "a corner radius of 2 mm would use it", true},
		{"radius far off", func(d *Die, w *Wish) { w.Radius, d.Radius = 5*Millimetre, 2*Millimetre }, "radius", "", "", false},
		{"retired", func(d *Die, w *Wish) { d.Condition = DieRetired }, "condition", "the die is retired", "", false},
		{"blunt", func(d *Die, w *Wish) { d.Condition = DieSharpen }, "condition", "the die is to be sharpened", "", false},
		{"material", func(d *Die, w *Wish) { d.Materials, w.Material = []string{"paper", "vellum"}, "film" },
			"material", `the die is made for paper, vellum, the material is film`, "", false},
		{"any material", func(d *Die, w *Wish) { w.Material = "film" }, "", "", "", false},
		{"gap across", func(d *Die, w *Wish) { d.Gap.Across = mustLength(t, "1.9mm") },
			"gap-across", "a gap of 1.9 mm across is less than the 2 mm that the matrix needs", "", false},
		{"gap around", func(d *Die, w *Wish) { *d = flat(t); d.Gap.Around = mustLength(t, "1mm") },
			"gap-around", "a gap of 1 mm around", "", false},
		{"shared cuts", func(d *Die, w *Wish) { *d = flat(t); d.Gap = Size{} }, "", "", "", false},
		{"round corners share no cut", func(d *Die, w *Wish) { *d = flat(t); d.Gap.Across, d.Radius = 0, Millimetre }, "gap-across", "", "", false},
		{"no such station", func(d *Die, w *Wish) { w.Stations = []DieStation{{Kind: FlatBed}} },
			"station-kind", "the die is made for a full-rotary station, there is none", "", false},
		{"station too narrow", func(d *Die, w *Wish) { w.Stations = []DieStation{{Kind: FullRotary, Width: 314 * Millimetre}} },
			"station-width", "the die cuts 315 mm across, the full-rotary station 314 mm", "", false},
		{"another is wide enough", func(d *Die, w *Wish) {
			w.Stations = []DieStation{{Kind: FullRotary, Width: 314 * Millimetre}, {Kind: FullRotary, Width: 330 * Millimetre}}
		}, "", "", "", false},
		// CP and DP gears can't match each other: FTA, Flexography: Principles and
		// Practices, vol. 1, p. 85.
		{"other gear", func(d *Die, w *Wish) { w.Stations = []DieStation{{Kind: FullRotary, Gear: DiametralPitch(32)}} },
			"station-gear", "the die runs on a gear of 3.175 mm CP, the full-rotary station on 32 DP", "", false},
		// Three rows reach 3 x 78.175 - 3.175 = 231.35 mm.
		{"stroke", func(d *Die, w *Wish) {
			*d = flat(t)
			w.Stations = []DieStation{{Kind: SemiRotary, Stroke: mustLength(t, "230mm")}}
		}, "station-stroke", "the die cuts 231.35 mm around, the semi-rotary station's stroke is 230 mm", "", false},
		{"not printed", func(d *Die, w *Wish) { w.Webs[0].TargetLane = 134 * Millimetre },
			"too-wide", "6 lanes with 1.5 mm bleed on both sides need 318 mm across, the band gives 52 mm", "a web of 606 mm would take it", false},
		{"frame walks", func(d *Die, w *Wish) { w.Repeat = FixedRepeat(980 * Millimetre) },
			"rotary-multiple", "a frame of 980 mm is no whole number of the die's 317.5 mm: register walks by 27.5 mm with every frame", "a frame of 952.5 mm would do", false},
		{"all at once", func(d *Die, w *Wish) {
			d.Size, d.Condition, d.Lanes = mustSize(t, "52x75mm"), DieRetired, 7
			w.Repeat, w.Webs[0].Width, w.EdgeMatrix = Repeat{Max: 300 * Millimetre}, 60*Millimetre, 5*Millimetre
		}, "size condition too-wide too-long edge-matrix", "", "", false},
		{"run without end", func(d *Die, w *Wish) { w.Quantity = mostOrdered }, "run", "longer than any run", "split the order", false},
		{"broken record", func(d *Die, w *Wish) { d.Rows = 5 }, "die-repeat", "", "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, w := rotary(t), wish(t)
			c.change(&d, &w)
			f := rank(t, w, d)[0]
			if codes(f.Reasons()) != c.codes || f.Near != c.near || f.Fits != (c.codes == "") {
				t.Fatalf("fits %v, near %v, reasons %+v", f.Fits, f.Near, f.Reasons())
			}
			if len(f.Reasons()) > 0 && (!strings.Contains(f.Reasons()[0].Text, c.text) || !strings.Contains(f.Reasons()[0].Nearest, c.way)) {
				t.Errorf("got %+v", f.Reasons()[0])
			}
			if c.name == "the best liked turn wins" && f.Turn != Turn180 {
				t.Errorf("the turn is %v", f.Turn)
			}
			if f.Near && (f.Run == nil || f.WebArea == 0 || f.Around == 0) {
				t.Errorf("the near miss isn't counted: %+v", f)
			}
		})
	}
}

func TestRankWarns(t *testing.T) {
	for _, c := range []struct {
		codes  string
		change func(*Die, *Wish)
		text   string
	}{
		{"condition", func(d *Die, w *Wish) { d.Condition = DieWorn }, "the die is worn"},
		{"gap-across bleed-clipped", func(d *Die, w *Wish) { d.Gap.Across = mustLength(t, "2.4mm") }, "a gap of 2.4 mm across is less than the 2.5 mm that the matrix needs to strip well"},
		{"bleed-clipped", func(d *Die, w *Wish) { w.Bleed = mustLength(t, "1.5875mm") }, "the gaps leave 1.5 mm across and 1.588 mm around of a bleed of 1.588 mm"},
		// 5 lanes of 50 mm and 4 gaps of 3 mm are 262 mm, with bleed and edges 285.
		// TV-G22: a die of 314.325 mm with 5 mm at each edge on a web of 320 mm: three
		// lanes of 76.2 mm are 234.95 mm, so that 42.525 mm are left at each edge.
		{"narrower-web lanes-unused", func(d *Die, w *Wish) {
			d.Size, d.Lanes, d.Gap.Across = mustSize(t, "76.2x75mm"), 4, mustLength(t, "3.175mm")
			w.UnusedLanes = true
			w.Label, w.EdgeMatrix, w.Webs = d.Size, 5*Millimetre, []Web{{Width: 320 * Millimetre}}
		}, "the lanes with a matrix of 5 mm at each edge need 324.325 mm, the web gives 320 mm: 3 of its 4 lanes are used, the others cut beside the web, the next one 39.35 mm into its edge"},
		{"narrower-web lanes-unused", func(d *Die, w *Wish) { w.Webs[0].TargetLane, w.UnusedLanes = 3*Millimetre/2, true },
			"6 lanes with 1.5 mm bleed on both sides need 318 mm across, the band gives 317 mm: 5 of its 6 lanes are used, the others cut beside the web, the next one 36 mm into its edge"},
		{"narrower-web", func(d *Die, w *Wish) { d.Lanes = 5 }, "a web of 285 mm would do: 8.1 % of it would be edge, not 22.9 %"},
	} {
		d, w := rotary(t), wish(t)
		c.change(&d, &w)
		f := rank(t, w, d)[0]
		if !f.Fits || codes(f.Warnings) != c.codes || !slices.ContainsFunc(f.Warnings, func(r Reason) bool { return r.Text == c.text }) {
			t.Errorf("fits %v, reasons %+v, warnings %+v; want %s", f.Fits, f.Reasons(), f.Warnings, c.codes)
		}
	}
}

// TestFieldsStandOnTheWeb: a tool cuts on all its lanes. Six of 50 mm, 3 mm apart,
// are 315 mm; two that are not printed cut blank web where edges or targets take
// the room, and one moves the field by 26.5 mm. All sums are plain.
func TestFieldsStandOnTheWeb(t *testing.T) {
	for _, c := range []struct {
		web, targets, matrix string
		lanes                int // 0: it doesn't fit
		said                 string
	}{
		{"340mm", "0mm", "3mm", 6, ""},
		{"340mm", "25mm", "3mm", 4, "4 of its 6 lanes are used, the others cut blank web"}, // 315 + 6 mm
		{"340mm", "25mm", "13mm", 0, "too-wide edge-matrix"},
		{"374mm", "25mm", "3mm", 5, "5 of its 6 lanes are used, the others cut blank web"}, // 262 + 2 x (53 + 3) mm
		{"373mm", "25mm", "3mm", 4, "4 of its 6 lanes are used, the others cut blank web"},
		{"250mm", "0mm", "3mm", 0, "too-wide edge-matrix"},
	} {
		d, w := rotary(t), wish(t)
		w.Webs, w.EdgeMatrix = []Web{{mustLength(t, c.web), 10 * Millimetre, mustLength(t, c.targets)}}, mustLength(t, c.matrix)
		f := rank(t, w, d)[0]
		if c.lanes == 0 {
			if f.Fits || codes(f.Reasons()) != c.said || !strings.Contains(f.Reasons()[len(f.Reasons())-1].Nearest, "say unused-lanes") {
				t.Errorf("%+v: fits %v, %+v", c, f.Fits, f.Reasons())
			}
			continue
		}
		said := slices.ContainsFunc(f.Warnings, func(r Reason) bool { return c.said != "" && strings.HasSuffix(r.Text, c.said) })
		if !f.Fits || f.Across != c.lanes || said != (c.said != "") {
			t.Errorf("%+v: fits %v with %d lanes, %+v, %+v", c, f.Fits, f.Across, f.Reasons(), f.Warnings)
		}
	}
}

// The web that a narrower-web warning or Least names takes the die, and a
// nanometre less doesn't.
func TestLeastWebIsLeast(t *testing.T) {
	for _, lanes := range []int{1, 3, 5, 6} {
		d, w := rotary(t), wish(t)
		d.Lanes = lanes
		if lanes == 3 { // the matrix at the edge wants more than bleed and edges
			w.EdgeMatrix = 12 * Millimetre
		}
		least := rank(t, w, d)[0].Least
		w.Webs = []Web{{Width: least, Edge: 10 * Millimetre}}
		if f := rank(t, w, d)[0]; !f.Fits || f.Split.Edge <= 0 {
			t.Errorf("%d lanes don't fit %v: %+v", lanes, least, f.Reasons())
		}
		w.Webs[0].Width--
		if f := rank(t, w, d)[0]; f.Fits && f.Across == lanes {
			t.Errorf("%d lanes fit less than %v", lanes, least)
		}
	}
}

func TestRankTakesTheBestWeb(t *testing.T) {
	d, w := rotary(t), wish(t)
	d.Lanes, w.UnusedLanes = 5, true
	web := func(mm Length) Web { return Web{Width: mm * Millimetre, Edge: 10 * Millimetre} }
	w.Webs = []Web{web(340), web(200), web(290), web(15)} // the last has no band at all
	f := rank(t, w, d)[0]
	if !f.Fits || f.Web != web(290) {
		t.Errorf("got %v, %+v", f.Web, f.Reasons())
	}
	// 200 mm for three lanes is less than 280 mm for four; no lane is less than one.
	w.Webs = []Web{web(200), web(280)}
	if f := rank(t, w, d)[0]; !f.Fits || f.Across != 3 || f.Web != web(200) {
		t.Errorf("got %v, %d lanes, %+v", f.Web, f.Across, f.Reasons())
	}
	w.UnusedLanes, w.Webs = false, w.Webs[:1]
	if f := rank(t, w, d)[0]; f.Fits {
		t.Errorf("a field of 262 mm on %v", f.Web)
	}
	w.Webs = []Web{web(60), web(70)}
	if f := rank(t, w, d)[0]; f.Fits || codes(f.Reasons()) != "too-wide edge-matrix" {
		t.Errorf("got %v, %+v", f.Web, f.Reasons())
	}
}

// What is said of one web must not be written over by what is said of another.
func TestRankKeepsWebsApart(t *testing.T) {
	web := func(mm Length) Web { return Web{Width: mm * Millimetre, Edge: 10 * Millimetre} }
	d, w := rotary(t), wish(t)
	d.Lanes, d.Condition, d.Gap.Across = 5, DieWorn, mustLength(t, "2.4mm")
	d.Cylinder.Teeth = 99 // 314.325 mm leave 3.58 mm
	w.Stripping.Warn, w.Bleed = 4*Millimetre, Millimetre
	w.Webs = []Web{web(320), web(340)}
	f := rank(t, w, d)[0]
	is(t, "warnings", codes(f.Warnings), "condition gap-across gap-around narrower-web")
	if text := f.Warnings[3].Text; f.Web != web(320) || !strings.HasSuffix(text, "not 18.9 %") { // (320 - 259.6) / 320
		t.Errorf("%v has the warning %q", f.Web, text)
	}
	d.Materials, w.Material, d.Condition, w.Stripping.Refuse = []string{"paper"}, "film", DieRetired, 4*Millimetre
	w.Stations = []DieStation{{Kind: Laser}}
	w.Webs = []Web{web(60), web(70)}
	f = rank(t, w, d)[0]
	is(t, "reasons", codes(f.Reasons()), "condition material station-kind gap-across gap-around too-wide edge-matrix")
	if text := f.Reasons()[5].Text; f.Web != web(60) || !strings.HasSuffix(text, "the band gives 40 mm") {
		t.Errorf("%v has the reason %q", f.Web, text)
	}
}

// Of the dies that don't fit the nearest in size stand first.
func TestRankPutsTheNearestFirst(t *testing.T) {
	var dies []Die
	for _, size := range []string{"90x75mm", "50x60mm", "52x75mm", "50x50.5mm"} {
		d := flat(t)
		d.Number, d.Size, d.Lanes = size, mustSize(t, size), 3
		dies = append(dies, d)
	}
	circle := flat(t)
	circle.Number, circle.Shape, circle.Size = "circle", ShapeCircle, mustSize(t, "50x50mm")
	w := wish(t)
	w.Label = mustSize(t, "50x50mm")
	var got []string
	for _, f := range rank(t, w, append([]Die{circle}, dies...)...) {
		got = append(got, f.Die.Number)
	}
	// 0.5 mm is a near miss; then 10, 25 and 40 mm off; no size makes a circle fit.
	is(t, "order", strings.Join(got, " "), "50x50.5mm 50x60mm 52x75mm 90x75mm circle")
}

func TestNearMissMustRun(t *testing.T) {
	d, w := rotary(t), wish(t)
	d.Size, w.Quantity = mustSize(t, "50x75.5mm"), mostOrdered
	if f := rank(t, w, d)[0]; f.Near || f.Fits || codes(f.Reasons()) != "size run" {
		t.Errorf("near %v, fits %v, %+v", f.Near, f.Fits, f.Reasons())
	}
}

func TestRankWithoutQuantity(t *testing.T) {
	w := wish(t)
	w.Quantity = 0
	f := rank(t, w, flat(t))[0]
	// 340 x 938.1 mm for 72 labels.
	if f.Run != nil || fmt.Sprintf("%.4f", f.WebArea) != "4429.9167" {
		t.Errorf("got %v, %v", f.Run, f.WebArea)
	}
}

func TestRankRefuses(t *testing.T) {
	for name, change := range map[string]func(*Wish){
		"no web":      func(w *Wish) { w.Webs = nil },
		"no label":    func(w *Wish) { w.Label.Across = 0 },
		"no band":     func(w *Wish) { w.Webs[0].Edge = 170 * Millimetre },
		"no frame":    func(w *Wish) { w.Repeat = Repeat{} },
		"bleed":       func(w *Wish) { w.Bleed = -1 },
		"area":        func(w *Wish) { w.Area = 1e9 },
		"edge matrix": func(w *Wish) { w.EdgeMatrix = -1 },
		"quantity":    func(w *Wish) { w.Quantity = -1 },
		"terms":       func(w *Wish) { w.Terms.Speed = -1 },
		"endless":     func(w *Wish) { w.Repeat.Max = longest },
	} {
		w := wish(t)
		change(&w)
		for _, rank := range []func() ([]Fit, error){
			func() ([]Fit, error) { return RankDies([]Die{rotary(t)}, w) },
			func() ([]Fit, error) { return RankTools([]Cylinder{{100, eighth}}, w) },
			func() ([]Fit, error) { return RankWebs(w) },
		} {
			fits, err := rank()
			var hint interface{ Hint() string }
			if fits != nil || !errors.As(err, &hint) || hint.Hint() == "" {
				t.Errorf("%s: got %v, %v; want an error with a hint", name, fits, err)
			}
		}
	}
}

// library makes a die room: common sizes on common cylinders, in all states.
func library(n int) []Die {
	r := rand.New(rand.NewPCG(1, 2))
	pick := func(from ...Length) Length { return from[r.IntN(len(from))] * Millimetre }
	dies := make([]Die, n)
	for i := range dies {
		d := Die{
			Number: fmt.Sprintf("D%05d", i), Station: []StationKind{FullRotary, SemiRotary, FlatBed}[r.IntN(3)],
			Size:   Size{pick(30, 40, 50, 60, 70, 75, 80, 100), pick(30, 40, 50, 60, 75, 80, 100, 120)},
			Radius: pick(0, 1, 2, 3), Gap: Size{pick(2, 3, 4), pick(2, 3, 4)},
			Condition: []Condition{DieGood, DieGood, DieGood, DieWorn, DieRetired}[r.IntN(5)],
			Materials: [][]string{nil, {"paper"}, {"paper", "film"}}[r.IntN(3)],
		}
		d.Lanes = max(1, LanesIn(320*Millimetre, d.Size.Across, d.Gap.Across, 0)-r.IntN(2))
		d.Rows = 1 + r.IntN(4)
		if d.Station == FullRotary {
			d.Cylinder = Cylinder{eighth.TeethFor(Length(d.Rows) * (d.Size.Around + d.Gap.Around)), eighth}
			d.Gap.Around = 0
		}
		dies[i] = d
	}
	return dies
}

// The order is what RankDies says, every layout stands where it may, and a die
// is judged the same alone as among others.
func TestRankingHolds(t *testing.T) {
	dies := library(3000)
	rapid.Check(t, func(t *rapid.T) {
		w := wish(t)
		from := rapid.IntRange(0, len(dies)-40).Draw(t, "from")
		some := dies[from : from+40]
		model := rapid.SampledFrom(some).Draw(t, "model")
		turn := Turn(rapid.IntRange(0, 3).Draw(t, "turn"))
		w.Label, w.Turns = model.Size.Turned(turn), []Turn{turn}
		w.Quantity = rapid.Int64Range(0, 1_000_000).Draw(t, "quantity")
		if rapid.Bool().Draw(t, "fixed") {
			w.Repeat = FixedRepeat(Length(rapid.IntRange(300, 1000).Draw(t, "repeat")) * Millimetre)
		}
		fits := rank(t, w, some...)
		if len(fits) != len(some) {
			t.Fatalf("%d dies became %d fits", len(some), len(fits))
		}
		for i, f := range fits {
			if i > 0 && f.compare(&fits[i-1]) < 0 {
				t.Fatalf("%d stands behind a worse one", i)
			}
			if f.Fits == (len(f.Reasons()) > 0) || f.Fits && f.Near {
				t.Fatalf("%+v", f)
			}
			for _, r := range append(f.Reasons(), f.Warnings...) {
				if r.Code == "" || r.Text == "" {
					t.Fatalf("%+v", f)
				}
			}
			if !f.Fits {
				continue
			}
			if alone := rank(t, w, *f.Die)[0]; alone.WebArea != f.WebArea || alone.Repeat != f.Repeat {
				t.Fatalf("alone %+v, among others %+v", alone, f)
			}
			l := f.Layout()
			holdsInside(t, Request{Web: f.Web, Label: w.Label, Bleed: w.Bleed}, l)
			used := *l
			used.Repeat -= l.Tail
			holdsApart(t, &used)
			if l.Labels() != f.Labels() || l.Split() != f.Split || l.Gap != f.Gap {
				t.Fatalf("the layout %+v is not the fit's %+v", l, f)
			}
			if f.Run != nil {
				again, err := l.PlanRun([]Demand{{Quantity: w.Quantity, Places: l.Labels()}}, w.Terms)
				if err != nil || *again != *f.Run {
					t.Fatalf("the layout's run is %+v, %v; the fit's %+v", again, err, f.Run)
				}
			}
		}
	})
}
