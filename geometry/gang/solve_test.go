package gang

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// spread draws n equal labels with demands spread evenly on a log scale from
// low to 100 times low.
func spread(rng *rand.Rand, n int, capacity, low int64) Problem {
	p := Problem{Capacity: capacity, LengthCost: 1}
	for range n {
		p.Orders = append(p.Orders, Order{Demand: int64(float64(low) * math.Pow(100, rng.Float64()))})
	}
	return p
}

// randomNight draws orders over groups, most of them in a few large groups.
// Frames of 938 mm and a set-up of 60 m, costs in millimetres.
func randomNight(seed uint64, groups, orders int) []Problem {
	rng := rand.New(rand.NewPCG(seed, 7))
	all := make([]Problem, groups)
	for i := range all {
		all[i] = Problem{Capacity: 4 + rng.Int64N(6), LengthCost: 938, RunCost: 60_000}
	}
	for i := range orders {
		g := i
		if i >= groups {
			g = int(float64(groups) * math.Pow(rng.Float64(), 2.5))
		}
		all[g].Orders = append(all[g].Orders, Order{Demand: int64(40 * math.Pow(100, rng.Float64()))})
	}
	return all
}

// TV-W2: A 10 000, B 5000, C 2500 labels on 6 lanes x 12 around, whole lanes
// for each order. Worked by hand: lanes 3/2/1, ceil(10000/36) = 278 frames,
// overs 8, 1672 and 836; the volume alone would need 17500/72 = 243.06 frames.
func TestThreeOrdersOnSixLanes(t *testing.T) {
	p := Problem{Capacity: 6, LengthCost: 1, MaxRuns: 1, Step: 12}
	for _, d := range []int64{10000, 5000, 2500} {
		p.Orders = append(p.Orders, Order{Demand: d})
	}
	plan, b, err := Solve(context.Background(), p, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	want := Plan{
		Runs:   []Run{{Length: 278 * 12, Shares: []Share{{0, 3}, {1, 2}, {2, 1}}}},
		Length: 278 * 12, Cost: 278 * 12,
	}
	if d := cmp.Diff(want, plan); d != "" {
		t.Error(d)
	}
	if !b.Proved || b.Length != 244*12 {
		t.Errorf("proved %v, volume %d frames; want 244", b.Proved, b.Length/12)
	}
	made := plan.produced(3)
	if d := cmp.Diff([]int64{10008, 6672, 3336}, made); d != "" {
		t.Error(d)
	}
}

// The cutting-stock problem is the widths model without a cost for set-ups: a
// pattern is a run, its number of master rolls the length. Widths and numbers
// of the example that is often printed for a paper machine with masters of
// 5600 mm, least number of masters 73 (from memory, not checked; the volume
// alone needs 72.7).
func TestCuttingStock(t *testing.T) {
	p := Problem{Capacity: 5600, LengthCost: 1}
	for _, o := range [][2]int64{
		{1380, 22}, {1520, 25}, {1560, 12}, {1710, 14}, {1820, 18}, {1880, 18}, {1930, 20},
		{2000, 10}, {2050, 12}, {2100, 14}, {2140, 16}, {2150, 18}, {2200, 20},
	} {
		p.Orders = append(p.Orders, Order{Width: o[0], Demand: o[1]})
	}
	plan, b, err := Solve(context.Background(), p, Limits{Steps: 20_000_000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Check(&p); err != nil {
		t.Error(err)
	}
	if plan.Length != 73 || !b.Proved {
		t.Errorf("%d masters, proved %v; want 73", plan.Length, b.Proved)
	}
}

func TestSameSeedSamePlan(t *testing.T) {
	p := priced(spread(rand.New(rand.NewPCG(3, 1)), 25, 6, 50), 1, 60)
	var first Plan
	for k := range 3 {
		plan, _, err := Solve(context.Background(), p, Limits{Steps: 500_000, Seed: 9})
		if err != nil {
			t.Fatal(err)
		}
		if k == 0 {
			first = plan
		} else if d := cmp.Diff(first, plan); d != "" {
			t.Fatal(d)
		}
	}
}

func TestNightDoesNotDependOnCores(t *testing.T) {
	ps := randomNight(2, 20, 100)
	var first []Outcome
	for _, cores := range []int{1, 2, 3} {
		was := runtime.GOMAXPROCS(cores)
		out := SolveAll(context.Background(), ps, Limits{Steps: 1_000_000, Seed: 4}, nil)
		runtime.GOMAXPROCS(was)
		if first == nil {
			first = out
		} else if d := cmp.Diff(first, out); d != "" {
			t.Fatalf("%d cores: %s", cores, d)
		}
	}
	for i, o := range first {
		if o.Err != nil {
			t.Fatal(o.Err)
		}
		if err := o.Plan.Check(&ps[i]); err != nil {
			t.Errorf("group %d: %v", i, err)
		}
		if o.Bounds.Cost > o.Plan.Cost {
			t.Errorf("group %d: bound %d over cost %d", i, o.Bounds.Cost, o.Plan.Cost)
		}
	}
}

func TestOneBadGroupStopsNoOther(t *testing.T) {
	ps := []Problem{equal(4, 10, 20), equal(0, 5), atMost(equal(2, 3, 3, 3), 1)}
	out := SolveAll(context.Background(), ps, Limits{Steps: 1000}, nil)
	if out[0].Err != nil || !out[0].Bounds.Proved {
		t.Errorf("good group: %+v", out[0])
	}
	if out[1].Err == nil || !strings.Contains(out[1].Err.Error(), "capacity") {
		t.Errorf("group without capacity: %v", out[1].Err)
	}
	if !errors.Is(out[2].Err, errNoPlan) {
		t.Errorf("three orders on two lanes in one run: %v", out[2].Err)
	}
}

// Between better plans, rounds are told that may have raised the bound.
func TestEveryBetterPlanIsTold(t *testing.T) {
	p := priced(spread(rand.New(rand.NewPCG(5, 1)), 20, 6, 50), 1, 60)
	var costs, bounds []int64
	out := SolveAll(context.Background(), []Problem{p}, Limits{Steps: 1_000_000}, func(_ int, pl Plan, b Bounds) {
		if err := pl.Check(&p); err != nil {
			t.Error(err)
		}
		costs, bounds = append(costs, pl.Cost), append(bounds, b.Cost)
	})
	plan, err := out[0].Plan, out[0].Err
	if err != nil {
		t.Fatal(err)
	}
	for k := 1; k < len(costs); k++ {
		if costs[k] > costs[k-1] || costs[k] == costs[k-1] && bounds[k] <= bounds[k-1] {
			t.Errorf("cost %d, bound %d told after %d, %d", costs[k], bounds[k], costs[k-1], bounds[k-1])
		}
	}
	if len(slices.Compact(slices.Clone(costs))) < 2 || costs[len(costs)-1] != plan.Cost {
		t.Errorf("told %v, plan %d", costs, plan.Cost)
	}
}

func TestCancelledSearchStillHasAPlan(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p := priced(spread(rand.New(rand.NewPCG(5, 1)), 200, 6, 50), 1, 60)
	plan, b, err := Solve(ctx, p, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Check(&p); err != nil {
		t.Error(err)
	}
	if b.Proved || b.GapPercent <= 0 || b.Steps > 2*lookEvery {
		t.Errorf("bounds %+v", b)
	}
}

// Every number of runs of the herbs instance at once; values as in published.
func TestCurveOfHerbs(t *testing.T) {
	points, err := Curve(context.Background(), herbs, 4, Limits{Steps: 8_000_000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	var got []int64
	for _, pt := range points {
		if err := pt.Plan.Check(&herbs); err != nil {
			t.Error(err)
		}
		if !pt.Proved || pt.GapPercent != 0 {
			t.Errorf("%d runs: bound %d, gap %v", pt.Runs, pt.bound, pt.GapPercent)
		}
		got = append(got, pt.Plan.Length)
	}
	if d := cmp.Diff([]int64{115, 87, 84, 84}, got); d != "" {
		t.Error(d)
	}
}
