package choose

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"quoin/geometry/trials"
)

// TestAnnealedRunsAgainstAllPartitions holds annealing to the cheapest of all
// partitions of few orders into runs, each tried on every grade and at every length.
func TestAnnealedRunsAgainstAllPartitions(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 18))
	missed, cases := 0, trials.Number(t, "QUOIN_ANNEAL", 40, 1000)
	for trial := range cases {
		k := someTask(rng)
		n := len(k.id)
		work := int64(0)
		list := k.anneal(rng, 400_000, &work)
		made := make([]int64, n)
		for x := range list {
			c := &list[x]
			lanes := int64(0)
			for _, p := range c.parts {
				made[p.at]++
				if lanes += int64(p.lanes); int64(p.lanes)*c.r < k.need[c.grade][p.at] {
					t.Errorf("case %d: %d lanes of %d are less than %d", trial, p.lanes, c.r, k.need[c.grade][p.at])
				}
			}
			if g := &k.grades[c.grade]; lanes > g.capacity || c.r < g.least {
				t.Errorf("case %d: %d lanes of %d, %d long of %d", trial, lanes, g.capacity, c.r, g.least)
			}
		}
		if slices.ContainsFunc(made, func(runs int64) bool { return runs != 1 }) {
			t.Errorf("case %d: orders stand in %d runs", trial, made)
		}
		want := cheapest(k, nil, 0)
		if got := k.costs(list); got < want-1e-6 {
			t.Errorf("case %d: %.3f, all partitions say %.3f", trial, got, want)
		} else if got > want+1e-6 {
			missed++
		}
	}
	if missed*20 > cases {
		t.Errorf("%d of %d are not the cheapest", missed, cases)
	}
}

// TestLinkedRunsPrintTheirOrders holds runs with parts of orders to what each order
// needs on the one grade that it is on. They cost no more than those that they began
// with, and less than all that leave orders whole where parting one pays.
func TestLinkedRunsPrintTheirOrders(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 18))
	cut, cases := 0, trials.Number(t, "QUOIN_ANNEAL", 40, 1000)
	for trial := range cases {
		k := someTask(rng)
		work := int64(0)
		first := k.anneal(rng, 200_000, &work)
		list := first
		for range 2 { // the second begins with parts
			list = k.relink(list, rng, 200_000, &work)
			if v := k.costs(list); v > k.costs(first)+1e-6 {
				t.Errorf("case %d: %.3f of %.3f", trial, v, k.costs(first))
			}
		}
		printsAll(t, trial, k, list)
		if k.costs(list) < cheapest(k, nil, 0)-1e-6 {
			cut++
		}
	}
	if cut*10 < cases {
		t.Errorf("in %d of %d cases only it pays to part an order", cut, cases)
	}
}

// printsAll holds runs to what each order needs on the one grade that it is on.
func printsAll(t *testing.T, trial int, k *task, list []cast) {
	t.Helper()
	made, on := make([]int64, len(k.id)), make([]int, len(k.id))
	for x := range list {
		c := &list[x]
		lanes := int64(0)
		for _, p := range c.parts {
			if lanes += int64(p.lanes); made[p.at] > 0 && on[p.at] != c.grade {
				t.Errorf("case %d: order %d is on two grades", trial, p.at)
			}
			made[p.at], on[p.at] = made[p.at]+int64(p.lanes)*c.r, c.grade
		}
		if g := &k.grades[c.grade]; lanes > g.capacity || c.r < g.least {
			t.Errorf("case %d: %d lanes of %d, %d long of %d", trial, lanes, g.capacity, c.r, g.least)
		}
	}
	for i, v := range made {
		if need := k.need[on[i]][i]; need == 0 || v < need {
			t.Errorf("case %d: %d made of order %d, %d needed", trial, v, i, need)
		}
	}
}

// someTask is few orders on three grades.
func someTask(rng *rand.Rand) *task {
	n := 3 + rng.IntN(4)
	k := &task{ctx: context.Background(), lane: func(_, order int, low, _ int64) int64 { return 3 * (1 + low/int64(7+order)) }}
	for range 3 {
		k.grades = append(k.grades, grade{capacity: 2 + rng.Int64N(4), a: 1 + 5*rng.Float64(), b: 90 * rng.Float64(), least: 1 + rng.Int64N(3)})
		k.need = append(k.need, make([]int64, n))
	}
	for i := range n {
		k.id = append(k.id, i)
		for g := range k.need {
			if g == 0 || rng.IntN(4) > 0 {
				k.need[g][i] = 1 + rng.Int64N(40)
			}
		}
	}
	return k
}

// cheapest is what the orders from i on cost at least in the sets so far or new ones.
func cheapest(t *task, sets [][]int, i int) float64 {
	if i == len(t.id) {
		sum := 0.0
		for _, s := range sets {
			sum += printed(t, s)
		}
		return sum
	}
	best := math.Inf(1)
	for k := range sets {
		next := slices.Clone(sets)
		next[k] = append(slices.Clip(next[k]), i)
		best = math.Min(best, cheapest(t, next, i+1))
	}
	return math.Min(best, cheapest(t, append(slices.Clip(sets), []int{i}), i+1))
}

// printed is what a set costs in one run of the least length, by trying every length.
func printed(t *task, set []int) float64 {
	best := math.Inf(1)
	for k, g := range t.grades {
		for r := g.least; r <= 50; r++ {
			lanes, cost := int64(0), g.a*float64(r)+g.b
			for _, i := range set {
				d := t.need[k][i]
				if d == 0 {
					lanes = g.capacity + 1
					break
				}
				p := (d + r - 1) / r
				lanes += p
				cost += float64(p) * t.lanes(&g, i, r, r)
			}
			if lanes <= g.capacity {
				best = math.Min(best, cost)
				break
			}
		}
	}
	return best
}
