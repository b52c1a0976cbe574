package gang

import (
	"context"
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawPins pins orders of a problem of three or four.
func drawPins(t *rapid.T, p *Problem) {
	n := len(p.Orders)
	if rapid.Bool().Draw(t, "together") {
		p.Together = [][]int{{0, n - 1}}
	}
	if len(p.Together) == 0 || n > 3 {
		p.Apart = [][2]int{{1, n - 2 + rapid.IntRange(0, 1).Draw(t, "apart")}}
	}
	if p.Apart != nil && (p.Apart[0][0] == p.Apart[0][1] || p.Together != nil && p.Apart[0][1] == n-1) {
		p.Apart = [][2]int{{0, 1}}
	}
}

// TestPinnedPlansAgainstBruteForce: brute force prints orders that are to be
// together as whole orders of one run. The search shares orders out over cells, so
// that it may miss the best plan, but never its bound.
func TestPinnedPlansAgainstBruteForce(t *testing.T) {
	best, all := 0, 0
	var cost, least int64
	for range 10 {
		rapid.Check(t, func(t *rapid.T) {
			p := drawSmall(t)
			for len(p.Orders) < 3 {
				p.Orders = append(p.Orders, Order{Demand: rapid.Int64Range(1, 12).Draw(t, "more")})
			}
			drawPins(t, &p)
			if p.Validate() != nil {
				t.Skip("not a problem")
			}
			brutal := p
			brutal.Orders = p.relaxed().Orders
			want, ok := brute(&brutal)
			plan, b, err := Solve(context.Background(), p, Limits{Steps: 300_000, Seed: 1})
			switch {
			case errors.Is(err, errNoPlan):
				if ok && p.MaxRuns == 0 && p.MaxOrders == 0 {
					t.Fatalf("no plan, brute force has one of %d", want)
				}
				return
			case err != nil:
				t.Fatal(err)
			}
			if err := plan.Check(&p); err != nil {
				t.Fatal(err)
			}
			if !ok || plan.Cost < want || b.Cost > want {
				t.Fatalf("cost %d, bound %d, brute force %d (%v)", plan.Cost, b.Cost, want, ok)
			}
			all++
			cost, least = cost+plan.Cost, least+want
			if plan.Cost == want {
				best++
			}
		})
	}
	t.Logf("%d of %d plans are the best, and cost %.4f of it together", best, all, float64(cost)/float64(least))
	if 20*best < 17*all || all < 100 {
		t.Errorf("only %d of %d plans are the best", best, all)
	}
}

// TestPinsCostWhatTheyMust is worked by hand, on two lanes with 10 for a set-up:
// two runs in any case, of 6 and 2 where nothing is pinned.
func TestPinsCostWhatTheyMust(t *testing.T) {
	p := Problem{Capacity: 2, LengthCost: 1, RunCost: 10, Orders: []Order{{Name: "A", Demand: 6}, {Name: "B", Demand: 6}, {Name: "C", Demand: 2}, {Name: "D", Demand: 2}}}
	cost := func(p Problem) int64 {
		t.Helper()
		plan, b, err := Solve(t.Context(), p, Limits{Steps: 200_000, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		if err := plan.Check(&p); err != nil {
			t.Fatal(err)
		}
		if b.Cost > plan.Cost {
			t.Fatalf("bound %d over %d", b.Cost, plan.Cost)
		}
		return plan.Cost
	}
	if got := cost(p); got != 28 { // A and B side by side for 6, C and D for 2
		t.Errorf("free: %d", got)
	}
	p.Apart = [][2]int{{0, 1}}
	if got := cost(p); got != 32 { // A and C for 6, B and D for 6
		t.Errorf("apart: %d", got)
	}
	p.Apart, p.Together = nil, [][]int{{0, 2}}
	if got := cost(p); got != 32 {
		t.Errorf("together: %d", got)
	}
	p.Apart = [][2]int{{0, 1}, {2, 3}} // A with C for 6, B with D for 6
	if got := cost(p); got != 32 {
		t.Errorf("both: %d", got)
	}
}

func TestPinsThatCanNotBeKept(t *testing.T) {
	three := []Order{{Name: "A", Demand: 6}, {Name: "B", Demand: 6}, {Name: "C", Demand: 2}}
	for _, c := range []struct {
		p    Problem
		want string
	}{
		{Problem{Capacity: 3, LengthCost: 1, Orders: three, Together: [][]int{{0, 1}, {1, 2}}, Apart: [][2]int{{0, 2}}}, `"A" and "C" are to be together and apart`},
		{Problem{Capacity: 3, LengthCost: 1, Orders: three, Together: [][]int{{0, 3}}}, "name order 3 of 3"},
		{Problem{Capacity: 3, LengthCost: 1, Orders: three, Apart: [][2]int{{1, 1}}}, "name orders 1 and 1"},
		{Problem{Capacity: 2, LengthCost: 1, Orders: three, Together: [][]int{{0, 1, 2}}}, "no plan keeps the limits"},
	} {
		_, _, err := Solve(t.Context(), c.p, Limits{Steps: 50_000, Seed: 1})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: want %q", err, c.want)
		}
	}
	// A search without a limit ends all the same.
	p := Problem{Capacity: 2, LengthCost: 1, RunCost: 3, Orders: three, Apart: [][2]int{{0, 1}}}
	plan, _, err := Solve(t.Context(), p, Limits{Seed: 1})
	if err != nil || plan.Check(&p) != nil {
		t.Errorf("%v %v", plan, err)
	}
}
