package geometry

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TV-W1, worked by hand from the definitions and again in exact fractions:
// 100,000 labels of 50 x 75 mm with gaps of 3 and 3.175 mm on a web of 340 mm
// of which 320 mm print, frames of up to 980 mm, 60 m make-ready, 3 % run
// waste. The definitions are common practice, no source.
func TestWorkedJob(t *testing.T) {
	l := mustPlan(t, worked(t))
	is(t, "across", l.Across, 6)
	is(t, "around", l.Around, 12)
	is(t, "labels", l.Labels(), 72)
	is(t, "repeat", l.Repeat.String(), "938.1 mm")
	s := l.Split()
	is(t, "split", fmt.Sprintf("%.3f %.3f %.3f %g", s.Label, s.Matrix, s.Edge, s.Tail), "84.652 7.995 7.353 0")

	order := []Demand{{Quantity: 100_000, Places: l.Labels()}}
	speeds := map[int]Length{6: 120 * Metre, 7: 60 * Metre} // by inks
	for inks, want := range map[int]struct{ net, gross string }{6: {"10.859", "11.684"}, 7: {"21.717", "23.369"}} {
		net := mustRun(t, l, order, Terms{Speed: speeds[inks]})
		is(t, "net minutes", fmt.Sprintf("%.3f", net.Minutes), want.net)
		gross := mustRun(t, l, order, Terms{Speed: speeds[inks], Setup: 60 * Metre, RunWaste: 3 * Percent})
		is(t, "gross minutes", fmt.Sprintf("%.3f", gross.Minutes), want.gross)
	}
	run := mustRun(t, l, order, Terms{Setup: 60 * Metre, RunWaste: 3 * Percent})
	is(t, "frames", run.Frames, 1389)
	is(t, "made", run.Labels, 100_008)
	is(t, "overs", run.Labels-run.Ordered, 8)
	is(t, "net", run.Net, 1_303_020_900*Micrometre)     // 1303.021 m
	is(t, "gross", run.Gross, 1_402_111_527*Micrometre) // 1402.112 m
	is(t, "yield", fmt.Sprintf("%.3f", run.Yield), "78.663")
	is(t, "make-ready", fmt.Sprintf("%.3f", run.Accounts.MakeReady), "4.279")
	is(t, "minutes without a speed", run.Minutes, 0)
}

func is[T comparable](t tester, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

func mustRun(t tester, l *Layout, demands []Demand, terms Terms) *Usage {
	t.Helper()
	run, err := l.PlanRun(demands, terms)
	if err != nil {
		t.Fatal(err)
	}
	return run
}

// A run may be longer than its orders need, as when a press has a least length.
func TestRunKeepsItsLeastFrames(t *testing.T) {
	l := mustPlan(t, worked(t))
	for least, want := range map[int64]int64{0: 1389, 1389: 1389, 1400: 1400} {
		run := mustRun(t, l, []Demand{{Quantity: 100_000, Places: 72}}, Terms{Frames: least})
		is(t, "frames", run.Frames, want)
		is(t, "labels", run.Labels, 72*want)
	}
}

// Three products in 3, 2 and 1 of six lanes (TV-W2): 278 frames are the least
// for these lanes, which leaves overs of 8, 1672 and 836 labels. Arithmetic.
func TestGangRun(t *testing.T) {
	l := mustPlan(t, worked(t))
	demands := []Demand{{Quantity: 10_000, Places: 36}, {Quantity: 5_000, Places: 24}, {Quantity: 2_500, Places: 12}}
	run := mustRun(t, l, demands, Terms{Speed: 120 * Metre})
	is(t, "frames", run.Frames, 278)
	is(t, "net", fmt.Sprintf("%.3f", run.Net.Metres()), "260.792")
	is(t, "minutes", fmt.Sprintf("%.3f", run.Minutes), "2.173")
	for i, overs := range []int64{8, 1672, 836} {
		is(t, "overs", run.Frames*int64(demands[i].Places)-demands[i].Quantity, overs)
	}
}

func TestRunRefuses(t *testing.T) {
	l := mustPlan(t, worked(t))
	good := []Demand{{Quantity: 100_000, Places: 72}}
	for _, c := range []struct {
		demands []Demand
		terms   Terms
		want    string
	}{
		{nil, Terms{}, "nothing is ordered"},
		{[]Demand{{Quantity: 0, Places: 72}}, Terms{}, "product 1 has 0 labels"},
		{[]Demand{{Quantity: 10, Places: 36}, {Quantity: 10, Places: 0}}, Terms{}, "product 2 has 10 labels ordered on 0 stations"},
		{[]Demand{{Quantity: 10, Places: 36}, {Quantity: 10, Places: 37}}, Terms{}, "the products up to 2 take more stations than the frame's 72"},
		{[]Demand{{Quantity: 10, Places: 1 << 62}, {Quantity: 10, Places: 1 << 62}}, Terms{}, "more stations than the frame's 72"},
		{[]Demand{{Quantity: 1 << 62, Places: 72}}, Terms{}, "labels ordered"},
		{[]Demand{{Quantity: mostOrdered, Places: 1}}, Terms{}, "longer than any run"},
		{good, Terms{Setup: -1}, "make-ready web is impossible"},
		{good, Terms{Frames: 1 << 60}, "longer than any run"},
		{good, Terms{RunWaste: -1}, "run waste is impossible"},
		{good, Terms{Overs: -1}, "share of overs is impossible"},
		{good, Terms{Overs: 1 << 62}, "share of overs is impossible"},
		{good, Terms{Speed: -1}, "speed is impossible"},
		{good, Terms{SetupMin: math.NaN()}, "set-up time is impossible"},
	} {
		run, err := l.PlanRun(c.demands, c.terms)
		var hint interface{ Hint() string }
		if run != nil || err == nil || !strings.Contains(err.Error(), c.want) || !errors.As(err, &hint) || hint.Hint() == "" {
			t.Errorf("%v %v: got %v, %v; want %q with a hint", c.demands, c.terms, run, err, c.want)
		}
	}
}

// The accounts add to the whole web, no frame could be spared, and every
// product has its labels with overs.
func TestRunsHold(t *testing.T) {
	planned := 0
	rapid.Check(t, func(t *rapid.T) {
		r := anyRequest().Draw(t, "request")
		l, err := Plan(r)
		if err != nil {
			return
		}
		l.Area *= rapid.Float64Range(0.1, 1).Draw(t, "shape")
		var demands []Demand
		for left := l.Labels(); left > 0 && len(demands) < 5; {
			places := rapid.IntRange(1, left).Draw(t, "places")
			demands = append(demands, Demand{Quantity: rapid.Int64Range(1, 2_000_000).Draw(t, "quantity"), Places: places})
			left -= places // some may stay blank
		}
		terms := Terms{
			Setup:    Length(rapid.Int64Range(0, int64(200*Metre)).Draw(t, "setup")),
			RunWaste: Share(rapid.Int64Range(0, int64(20*Percent)).Draw(t, "waste")),
			Overs:    Share(rapid.Int64Range(0, int64(10*Percent)).Draw(t, "overs")),
		}
		run, err := l.PlanRun(demands, terms)
		if err != nil {
			t.Fatal(err)
		}
		planned++
		a := run.Accounts
		if !near(a.Sum(), 100) || min(a.Label, a.Overs, a.Matrix, a.Edge, a.Tail, a.Run, a.MakeReady) < -1e-9 {
			t.Fatalf("the accounts %+v are not 100 %%", a)
		}
		spare := true
		for _, d := range demands {
			need := terms.Overs.More(d.Quantity)
			if run.Frames*int64(d.Places) < need {
				t.Fatalf("%d frames with %d places are less than %d labels", run.Frames, d.Places, need)
			}
			spare = spare && (run.Frames-1)*int64(d.Places) >= need
		}
		if spare {
			t.Fatalf("%d frames are one too many", run.Frames)
		}
		if run.Gross < run.Net+terms.Setup {
			t.Fatalf("gross %v is less than net %v and make-ready", run.Gross, run.Net)
		}
	})
	if planned < 200 {
		t.Errorf("only %d runs were planned: the test proves too little", planned)
	}
}

// A tail that no tool reaches is counted apart, and the identity still holds.
func TestTailIsWaste(t *testing.T) {
	l := mustPlan(t, worked(t))
	l.Repeat, l.Tail = 980*Millimetre, 980*Millimetre-l.Repeat
	l.Station, l.Block = nil, Box{}
	l.grid(0)
	s := l.Split()
	// Tail waste is (longest frame - used frame): 41.9 of 980 mm, of which the
	// part beside the block counts as edge.
	is(t, "tail", fmt.Sprintf("%.6f", s.Tail), fmt.Sprintf("%.6f", 100*315*41.9/(340*980)))
	if !near(s.Label+s.Matrix+s.Edge+s.Tail, 100) {
		t.Errorf("the split %+v is not 100 %%", s)
	}
	if last := l.Station[l.Labels()-1].Trim.Max.Around; last > l.Repeat-l.Tail {
		t.Errorf("the last row ends at %v, in the tail", last)
	}
}
