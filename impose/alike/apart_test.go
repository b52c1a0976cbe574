package alike

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"quoin/impose/plate"
)

func pair(a, b int, percent float64) Pair { return Pair{a, b, &plate.Likeness{Percent: percent}} }

// TestApart: look-alikes stand apart where the others allow it, those that differ
// least before others, and nothing moves without need.
func TestApart(t *testing.T) {
	one := func(int) int { return 0 }
	for name, c := range map[string]struct {
		n     int
		pairs []Pair
		kind  func(int) int
		want  string
	}{
		"none alike":          {4, nil, one, "[0 1 2 3]"},
		"apart already":       {3, []Pair{pair(0, 2, 1)}, one, "[0 1 2]"},
		"a third between":     {3, []Pair{pair(0, 1, 1)}, one, "[0 2 1]"},
		"only two":            {2, []Pair{pair(0, 1, 1)}, one, "[0 1]"},
		"all alike":           {3, []Pair{pair(0, 1, 1), pair(0, 2, 1), pair(1, 2, 1)}, one, "[0 1 2]"},
		"as far as is said":   {3, []Pair{pair(0, 1, 1), pair(0, 2, 1.004), pair(1, 2, 1.003)}, one, "[0 1 2]"},
		"the closest apart":   {3, []Pair{pair(0, 1, .2), pair(0, 2, 1), pair(1, 2, 2)}, one, "[0 2 1]"},
		"the next closest":    {4, []Pair{pair(0, 1, .1), pair(0, 2, .5), pair(0, 3, .6), pair(1, 2, .5), pair(1, 3, .3), pair(2, 3, .2)}, one, "[1 2 0 3]"},
		"fewer before closer": {4, []Pair{pair(0, 1, .1), pair(0, 2, 2), pair(1, 3, 2)}, func(i int) int { return (i + 1) / 2 }, "[0 1 2 3]"},
		"a chain":             {4, []Pair{pair(0, 1, 1), pair(1, 2, 1), pair(2, 3, 1)}, one, "[1 3 0 2]"},
		"within its width":    {3, []Pair{pair(0, 1, 1)}, func(i int) int { return i / 2 }, "[0 1 2]"},
		"widths that allow":   {4, []Pair{pair(1, 2, 1)}, func(i int) int { return i / 2 }, "[0 1 3 2]"},
	} {
		if got := fmt.Sprint(Apart(c.n, c.pairs, c.kind)); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// TestManyApart: of forty labels, whose orders can't all be tried, a third of the
// pairs look alike, and yet none need be neighbours.
func TestManyApart(t *testing.T) {
	var pairs []Pair
	for i := range 40 {
		for k := range i {
			if (i+k)%3 == 0 {
				pairs = append(pairs, pair(k, i, 1))
			}
		}
	}
	order := Apart(40, pairs, func(int) int { return 0 })
	if sorted := slices.Sorted(slices.Values(order)); len(slices.Compact(sorted)) != 40 {
		t.Fatalf("of 40 labels these are left: %v", sorted)
	}
	for i := 1; i < len(order); i++ {
		if (order[i-1]+order[i])%3 == 0 {
			t.Errorf("labels %d and %d are neighbours", order[i-1], order[i])
		}
	}
}

// TestNoOrderIsBetter holds what Apart returns against all orders of up to six labels.
func TestNoOrderIsBetter(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 300 {
		n := 2 + r.IntN(5)
		differ := make([][]int, n)
		for i := range differ {
			differ[i] = make([]int, n)
		}
		var pairs []Pair
		for i := range n {
			for k := range i {
				if d := r.IntN(5); d > 0 && r.IntN(4) > 0 {
					differ[i][k], differ[k][i] = d, d
					pairs = append(pairs, pair(k, i, float64(d)/100))
				}
			}
		}
		widths := 1 + r.IntN(2)
		kind := func(i int) int { return i % widths }
		// An order is worth its neighbours, the most alike foremost: a digit for each
		// difference, their number before all.
		worth := func(order []int) (sum int) {
			for i := 1; i < len(order); i++ {
				if d := differ[order[i-1]][order[i]]; d > 0 {
					sum += 100000 + []int{0, 1000, 100, 10, 1}[d]
				}
			}
			return sum
		}
		got, best := Apart(n, pairs, kind), []int(nil)
		orders(n, func(order []int) {
			for i, l := range order {
				if kind(i) != kind(l) {
					return
				}
			}
			if best == nil || worth(order) < worth(best) {
				best = slices.Clone(order)
			}
		})
		if !slices.Equal(got, best) {
			t.Fatalf("%v: %v is worth %d, the first of the best, %v, %d", pairs, got, worth(got), best, worth(best))
		}
	}
}

// orders calls do with all orders of n labels, the first in the order of places first.
func orders(n int, do func([]int)) {
	var on func([]int)
	on = func(order []int) {
		if len(order) == n {
			do(order)
		}
		for i := range n {
			if !slices.Contains(order, i) {
				on(append(slices.Clip(order), i))
			}
		}
	}
	on(nil)
}
