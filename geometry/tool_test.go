package geometry

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// eighths gives all cylinders of 1/8 inch CP from so many teeth to so many.
func eighths(from, to int) []Cylinder {
	var out []Cylinder
	for teeth := from; teeth <= to; teeth++ {
		out = append(out, Cylinder{teeth, eighth})
	}
	return out
}

// A new tool for the worked job's labels of 50 x 75 mm. One row needs 78.175 mm,
// 24.62 teeth. Of up to 200 teeth, 197 come nearest to a whole number of rows:
// 625.475 mm are 8 rows with gaps of 3.184375 mm. Arithmetic.
func TestBestTool(t *testing.T) {
	fits, err := RankTools(eighths(60, 200), wish(t))
	if err != nil {
		t.Fatal(err)
	}
	best := fits[0]
	is(t, "teeth", best.Die.Cylinder.Teeth, 197)
	is(t, "grid", fmt.Sprintf("%d x %d on %v", best.Across, best.Around, best.Repeat), "6 x 8 on 625.475 mm")
	is(t, "gap", best.Gap.Around, mustLength(t, "3.184375mm"))
	is(t, "number", best.Die.Number, "")
	if reasons := best.Die.Check(); len(reasons) > 0 || best.Die.Station != FullRotary {
		t.Errorf("the tool to be made is no die: %+v, %v", best.Die, reasons)
	}
	// The tool, once made and in the library, is judged the same.
	again := rank(t, wish(t), *best.Die)[0]
	if again.WebArea != best.WebArea || again.Repeat != best.Repeat || !again.Fits {
		t.Errorf("in the library it is %+v, as a new tool %+v", again, best)
	}
	if l := best.Layout(); l.Labels() != 48 || l.Repeat != best.Repeat {
		t.Errorf("got %v", l)
	}
}

func TestToolsRefused(t *testing.T) {
	w := wish(t)
	fits, err := RankTools([]Cylinder{{20, eighth}, {-1, eighth}, {100, DiametralPitch(0)}, {400, eighth}}, w)
	if err != nil {
		t.Fatal(err)
	}
	want := map[int]string{20: "too-long", -1: "die-gear", 100: "die-gear", 400: "too-long"}
	for _, f := range fits {
		if got := codes(f.Reasons()); f.Fits || got != want[f.Die.Cylinder.Teeth] {
			t.Errorf("%v: fits %v, reasons %+v", f.Die.Cylinder, f.Fits, f.Reasons())
		}
	}
	w.Gap, w.EdgeMatrix = mustSize(t, "1x1mm"), 150*Millimetre
	fits, err = RankTools([]Cylinder{{100, eighth}}, w)
	if err != nil {
		t.Fatal(err)
	}
	// With one lane left to say what is missing, no gap across is judged.
	if got := codes(fits[0].Reasons()); got != "edge-matrix" {
		t.Errorf("got %s", got)
	}
}

// With no die at all a web's best layout is Plan's.
func TestRankWebs(t *testing.T) {
	w := wish(t)
	w.Turns = []Turn{Turn0, Turn90}
	for _, mm := range []Length{330, 250, 290, 40} {
		w.Webs = append(w.Webs, Web{Width: mm * Millimetre, Edge: 10 * Millimetre})
	}
	fits, err := RankWebs(w)
	if err != nil {
		t.Fatal(err)
	}
	// 338 mm would do for 6 lanes with 1.5 mm of bleed: 340 mm waste least. The
	// five lanes of 290 mm come next, then the four lying ones of 330 mm...
	is(t, "best", fits[0].Web.Width, 340*Millimetre)
	is(t, "grid", fmt.Sprintf("%d x %d on %v", fits[0].Across, fits[0].Around, fits[0].Repeat), "6 x 12 on 938.1 mm")
	is(t, "second", fits[1].Web.Width, 290*Millimetre)
	is(t, "last", codes(fits[4].Reasons()), "too-wide")
	for _, f := range fits[:4] {
		l := mustPlan(t, Request{Web: f.Web, Label: w.Label, Gap: w.Gap, Bleed: w.Bleed, Repeat: w.Repeat, Turns: w.Turns})
		if l.Across != f.Across || l.Around != f.Around || l.Repeat != f.Repeat || l.Turn != f.Turn || l.Gap != f.Gap {
			t.Errorf("%v: the plan is %d x %d at %v, the ranking %d x %d at %v", f.Web, l.Across, l.Around, l.Turn, f.Across, f.Around, f.Turn)
		}
	}
	w.Repeat = FixedRepeat(317_500 * Micrometre)
	fits, err = RankWebs(w)
	if err != nil {
		t.Fatal(err)
	}
	is(t, "fixed", fmt.Sprintf("%d x %d on %v, gap %v", fits[0].Across, fits[0].Around, fits[0].Repeat, fits[0].Gap), "6 x 4 on 317.5 mm, gap 3 x 4.375 mm")
}

// No grid of any size, turn or web costs less web than the best tool.
func TestNoToolIsBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := wish(t)
		side := rapid.IntRange(20, 200)
		w.Label = Size{Length(side.Draw(t, "across")) * Millimetre, Length(side.Draw(t, "around")) * Millimetre}
		w.Turns = rapid.SampledFrom([][]Turn{{Turn0}, {Turn90}, {Turn0, Turn90}, {Turn180, Turn0, Turn270}}).Draw(t, "turns")
		w.EdgeMatrix = Length(rapid.IntRange(0, 30).Draw(t, "edge")) * Millimetre
		w.Webs = append(w.Webs, Web{Width: Length(rapid.IntRange(100, 500).Draw(t, "web")) * Millimetre, Edge: 5 * Millimetre})
		w.Quantity = rapid.SampledFrom([]int64{0, 1, 5000, 200_000}).Draw(t, "quantity")
		c := Cylinder{rapid.IntRange(40, 300).Draw(t, "teeth"), eighth}
		fits, err := RankTools([]Cylinder{c}, w)
		if err != nil {
			t.Fatal(err)
		}
		least := -1.0
		for _, web := range w.Webs {
			for _, turn := range w.Turns {
				label := w.Label.Turned(turn)
				for lanes := Length(1); lanes < 30; lanes++ {
					block := lanes*label.Across + (lanes-1)*w.Gap.Across
					if block+2*w.EdgeMatrix > web.Width || block+2*w.Bleed+2*web.Edge > web.Width {
						break
					}
					for rows := Length(1); rows*(label.Around+w.Gap.Around) <= c.Repeat(); rows++ {
						cost, ok := costOf(&w, web, c.Repeat(), lanes*rows)
						if ok && (least < 0 || cost < least) {
							least = cost
						}
					}
				}
			}
		}
		if f := fits[0]; f.Fits != (least >= 0) || f.Fits && f.WebArea > least*(1+1e-9) {
			t.Fatalf("the best tool costs %v (fits %v, %+v), trying all finds %v", f.WebArea, f.Fits, f.Reasons(), least)
		}
	})
}

// costOf gives the web of an order in square millimetres, in the longest frame
// of whole repeats.
func costOf(w *Wish, web Web, repeat, labels Length) (float64, bool) {
	times := w.Repeat.Max / repeat
	if times == 0 {
		return 0, false
	}
	frame := float64(times*repeat) / 1e6
	if w.Quantity == 0 {
		return web.Width.MM() * frame / float64(times*labels), true
	}
	frames := (w.Quantity + int64(times*labels) - 1) / int64(times*labels)
	return web.Width.MM() * (float64(frames)*frame*1.03 + 60_000), true
}
