package gang

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"quoin/geometry/trials"

	"github.com/google/go-cmp/cmp"
)

// drawNarrowed returns a small problem with every rule that narrowing knows.
func drawNarrowed(rng *rand.Rand) Problem {
	p := drawSwept(rng, 3+rng.IntN(6), 3+rng.Int64N(4))
	for i := range p.Orders {
		o := &p.Orders[i]
		if rng.IntN(6) == 0 {
			o.Most = o.Demand + o.Demand/4 + rng.Int64N(5)
		}
		o.NoSplit = rng.IntN(8) == 0
	}
	if rng.IntN(3) == 0 {
		p.LeastLength = 2
	}
	return p
}

// The search by boxes is another way to the least sum of lengths. A target far
// above it makes long lists, one that is too low by 1 makes none of them end in
// a plan.
func TestNarrowingAgreesWithBoxes(t *testing.T) {
	m := newMeter(context.Background(), 0)
	compared := 0
	seeds := trials.Number(t, "", 80, 200)
	for seed := range uint64(seeds) {
		rng := rand.New(rand.NewPCG(seed, 6))
		p := drawNarrowed(rng)
		if p.Validate() != nil {
			continue
		}
		c, runs := newCore(&p), 3+int(seed%2)
		if leastRuns(c) > runs {
			continue
		}
		want, _ := c.boxed(runs, 2*load(c), m)
		n := newNarrower(c, runs, m)
		n.sum = 2 * load(c)
		if want == nil {
			if got, ended := n.search(); got != nil || !ended {
				t.Errorf("seed %d: a plan %v, ended %v; boxes have none", seed, got, ended)
			}
			continue
		}
		compared++
		least := totalLength(want)
		n.sum = least + rng.Int64N(20)
		got, ended := n.search()
		if got == nil || !ended || totalLength(got) != least {
			t.Fatalf("seed %d: %v, ended %v; boxes have %v", seed, got, ended, want)
		}
		plan := c.planOf(&p, got)
		p.MaxRuns = runs
		if err := plan.Check(&p); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
		n = newNarrower(c, runs, m)
		n.sum = least - 1
		if got, ended := n.search(); got != nil || !ended {
			t.Errorf("seed %d: %v, ended %v, under the least sum %d", seed, got, ended, least)
		}
	}
	if compared < seeds*2/5 {
		t.Errorf("%d cases compared", compared)
	}
}

// A search that is stopped again and again finds what it finds in one go, with
// about the same work.
func TestNarrowingGoesOnWhereItStopped(t *testing.T) {
	p := spread(rand.New(rand.NewPCG(4, 1)), 8, 6, 50)
	c := newCore(&p)
	least := func(stop int64) (int64, int64) {
		m := newMeter(context.Background(), 0)
		n := newNarrower(c, 3, m)
		n.sum = volumeBound(c) * 102 / 100
		var sum int64
		for {
			if stop > 0 {
				m.limit = m.used + stop
			}
			runs, ended := n.search()
			if runs != nil {
				sum = totalLength(runs)
			}
			if ended {
				return sum, m.used
			}
		}
	}
	once, work := least(0)
	often, again := least(300)
	if once == 0 || once != often {
		t.Errorf("%d in one go, %d with stops", once, often)
	}
	if work < 3000 || again > work*11/10 {
		t.Errorf("%d steps in one go, %d with stops", work, again)
	}
}

// Random cases of up to 13 orders on 8 lanes, the least length in four runs: two
// of eight outside the long pass.
func TestFourRunsAreProved(t *testing.T) {
	for seed := range uint64(8) {
		if !trials.Long() && seed != 6 {
			continue
		}
		rng := rand.New(rand.NewPCG(seed, 1))
		p := atMost(spread(rng, 5+rng.IntN(9), 8, 50), 4)
		limit := Limits{Steps: StepsFor(10 * time.Second), Seed: 1}
		plan, b, err := Solve(context.Background(), p, limit)
		if err != nil {
			t.Fatal(err)
		}
		if err := plan.Check(&p); err != nil {
			t.Error(err)
		}
		if !b.Proved {
			t.Errorf("seed %d: %d orders, bound %d under cost %d", seed, len(p.Orders), b.Cost, plan.Cost)
		}
		if seed != 6 {
			continue
		}
		again, _, err := Solve(context.Background(), p, limit)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(plan, again); d != "" {
			t.Errorf("another plan the second time: %s", d)
		}
	}
}
