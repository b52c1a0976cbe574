package gang

import (
	"context"
	"errors"
	"testing"

	"quoin/geometry/trials"

	"pgregory.net/rapid"
)

// mostBruteRuns is as many runs as brute goes to.
const mostBruteRuns = 8

// brute is the least cost by trying every run on every state of what is still
// to be made, without any of the search's ideas.
func brute(p *Problem) (int64, bool) {
	type state [4]int64
	start := state{}
	var longest int64
	for i, o := range p.Orders {
		start[i] = o.Demand
		longest = max(longest, o.Demand)
	}
	longest = max(longest, p.LeastLength)
	best := map[state]int64{start: 0}
	cheapest, found := int64(0), false
	for range min(orNone(p.MaxRuns), mostBruteRuns) {
		next := map[state]int64{}
		for s, cost := range best {
			for r := max(1, p.LeastLength); r <= longest; r++ {
				if r%max(p.Step, 1) != 0 {
					continue
				}
				before := s
				var fill func(i int, left int64, shares int, s state)
				fill = func(i int, left int64, shares int, s state) {
					if i == len(p.Orders) {
						if !keepsPins(p, before, s) {
							return
						}
						c := cost + p.LengthCost*r + p.RunCost
						if old, ok := next[s]; !ok || c < old {
							next[s] = c
						}
						return
					}
					fill(i+1, left, shares, s)
					o := p.Orders[i]
					for k := int64(1); k*max(o.Width, 1) <= left && (p.MaxOrders == 0 || shares < p.MaxOrders); k++ {
						if s[i] <= 0 && o.Most == 0 || o.NoSplit && s[i] < o.Demand {
							break
						}
						if o.NoSplit && k*r < o.Demand {
							continue
						}
						t := s
						t[i] -= k * r
						if o.Most == 0 {
							t[i] = max(0, t[i])
						} else if t[i] < o.Demand-o.Most {
							break
						}
						fill(i+1, left-k*max(o.Width, 1), shares+1, t)
					}
				}
				fill(0, p.Capacity, 0, s)
			}
		}
		best = next
		for s, c := range best {
			met := true
			for i := range p.Orders {
				met = met && s[i] <= 0
			}
			if met && (!found || c < cheapest) {
				cheapest, found = c, true
			}
		}
		// Every further run costs more: once a plan is found, states that
		// already cost as much are of no use.
		for s, c := range best {
			if found && c+p.LengthCost >= cheapest {
				delete(best, s)
			}
		}
	}
	return cheapest, found
}

// keepsPins reports whether a run that takes the orders from before to after keeps
// the pins: of orders that are to be together none is printed without the rest,
// and all of it at once.
func keepsPins(p *Problem, before, after [4]int64) bool {
	for _, pair := range p.Apart {
		if before[pair[0]] != after[pair[0]] && before[pair[1]] != after[pair[1]] {
			return false
		}
	}
	for _, set := range p.Together {
		printed := 0
		for _, i := range set {
			if before[i] != after[i] {
				printed++
				if after[i] > 0 {
					return false
				}
			}
		}
		if printed != 0 && printed != len(set) {
			return false
		}
	}
	return true
}

func drawSmall(t *rapid.T) Problem {
	p := Problem{
		Capacity:   rapid.Int64Range(2, 4).Draw(t, "capacity"),
		LengthCost: rapid.Int64Range(1, 3).Draw(t, "length cost"),
		RunCost:    rapid.Int64Range(0, 12).Draw(t, "run cost"),
		MaxRuns:    rapid.IntRange(0, 3).Draw(t, "runs"),
	}
	wide := rapid.Bool().Draw(t, "wide")
	caps := rapid.Bool().Draw(t, "caps")
	whole := rapid.Bool().Draw(t, "whole")
	for range rapid.IntRange(1, 3).Draw(t, "orders") {
		o := Order{Demand: rapid.Int64Range(1, 12).Draw(t, "demand")}
		if wide {
			o.Width = rapid.Int64Range(1, 2).Draw(t, "width")
		}
		if caps && rapid.Bool().Draw(t, "capped") {
			o.Most = o.Demand + rapid.Int64Range(0, 4).Draw(t, "overs")
		}
		if whole {
			o.NoSplit = rapid.Bool().Draw(t, "no split")
		}
		p.Orders = append(p.Orders, o)
	}
	if rapid.Bool().Draw(t, "limits") {
		p.MaxOrders = rapid.IntRange(0, 2).Draw(t, "max orders")
		p.LeastLength = rapid.Int64Range(0, 4).Draw(t, "least")
	}
	return p
}

func TestSmallCasesAgreeWithBruteForce(t *testing.T) {
	proved, all := 0, 0
	for range trials.Number(t, "", 8, 30) {
		rapid.Check(t, func(t *rapid.T) {
			all++
			proved += agree(t)
		})
	}
	if 2*proved < all {
		t.Errorf("%d of %d proved", proved, all)
	}
}

// agree solves a random problem, compares it with brute force, and counts 1 if
// it is proved.
func agree(t *rapid.T) int {
	p := drawSmall(t)
	if p.Validate() != nil {
		t.Skip("not a problem")
	}
	want, ok := brute(&p)
	plan, b, err := Solve(context.Background(), p, Limits{Steps: 1_000_000, Seed: 1})
	if errors.Is(err, errNoPlan) {
		if ok {
			t.Fatalf("no plan, brute force has one of %d", want)
		}
		return 0
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Check(&p); err != nil {
		t.Fatal(err)
	}
	switch {
	case !ok && p.MaxRuns == 0 && len(plan.Runs) > mostBruteRuns:
		return 0 // brute force does not go so far
	case !ok || plan.Cost < want && p.MaxRuns > 0:
		t.Fatalf("cost %d, brute force %d (%v)", plan.Cost, want, ok)
	case b.Cost > want:
		t.Fatalf("bound %d over the least cost %d", b.Cost, want)
	case plan.Cost > want:
		t.Fatalf("cost %d, brute force %d", plan.Cost, want)
	}
	if b.Proved {
		return 1
	}
	return 0
}

// Proofs for more runs say nothing of fewer where runs cannot be cut in two.
func TestBoundsHoldForFewerRuns(t *testing.T) {
	for name, p := range map[string]Problem{
		"whole orders": {Capacity: 3, LengthCost: 1, MaxRuns: 3, Orders: []Order{
			{Demand: 2}, {Demand: 11}, {Demand: 5, NoSplit: true},
		}},
		"least length": {Capacity: 2, LengthCost: 1, RunCost: 2, LeastLength: 3, Orders: []Order{
			{Demand: 1}, {Demand: 1, Width: 2}, {Demand: 7},
		}},
	} {
		want, ok := brute(&p)
		plan, b, err := Solve(context.Background(), p, Limits{Steps: 1_000_000, Seed: 1})
		if err != nil || !ok {
			t.Fatal(name, err, ok)
		}
		if plan.Cost != want || b.Cost != want {
			t.Errorf("%s: cost %d, bound %d; brute force %d", name, plan.Cost, b.Cost, want)
		}
	}
}

// Each run holds one order: no stretch of orders has a length in common.
func TestTightLimitsStillHaveAPlan(t *testing.T) {
	p := Problem{Capacity: 3, LengthCost: 2, RunCost: 7, MaxOrders: 1, LeastLength: 3, Orders: []Order{
		{Demand: 8, Most: 9, Width: 2}, {Demand: 10, Most: 11}, {Demand: 11, Most: 14, Width: 2},
	}}
	want, _ := brute(&p)
	plan, _, err := Solve(context.Background(), p, Limits{Steps: 1_000_000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Check(&p); err != nil || plan.Cost != want {
		t.Errorf("cost %d, brute force %d, %v", plan.Cost, want, err)
	}
}
