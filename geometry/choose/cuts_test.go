package choose

import (
	"math/rand/v2"
	"testing"
)

// TestNoPartsOfAnOrderFallShortOfACut draws runs that make an order together, each of
// them some times, and holds what a cut counts of them against the whole.
func TestNoPartsOfAnOrderFallShortOfACut(t *testing.T) {
	rng := rand.New(rand.NewPCG(30, 11))
	tight := 0
	for trial := range 100_000 {
		need := 1 + rng.Int64N(4000)
		c := roundedUp(1 + rng.Int64N(6))
		if rng.IntN(3) > 0 {
			c = inSteps(0.02 + 0.97*rng.Float64())
		}
		counted, made := 0.0, int64(0)
		var parts []int64
		for made < need {
			part := 1 + rng.Int64N(max(need*(1+rng.Int64N(4))/4, 1))
			if rng.IntN(4) == 0 { // just what is missing
				part = need - made
			}
			made += part
			parts = append(parts, part)
			counted += c.of(part, need)
		}
		if counted < 1-1e-9 {
			t.Fatalf("case %d: %v of %d count %.9f by %+v", trial, parts, need, counted, c)
		}
		if len(parts) > 1 && counted < 1+1e-9 {
			tight++
		}
	}
	if tight < 1000 {
		t.Errorf("only %d sums of parts just make what a cut asks for: it asks for too little", tight)
	}
}

// TestAPartCountsAsItsStepsDo has a part counted by hand: of steps of 0.4 an order has two
// and a half, so that three are asked for; 0.3 is 0.75 of a step, more than the half, and
// counts as one; 0.5 is a step and a quarter of the next, half of what the order has left.
func TestAPartCountsAsItsStepsDo(t *testing.T) {
	c := inSteps(0.4)
	for _, x := range []struct {
		made int64
		want float64
	}{{0, 0}, {100, 0.5 / 3}, {200, 1.0 / 3}, {300, 1.0 / 3}, {500, 1.5 / 3}, {800, 2.0 / 3}, {1000, 1}, {1500, 1}} {
		if got := c.of(x.made, 1000); got < x.want-1e-9 || got > x.want+1e-9 {
			t.Errorf("%d of 1000 count %.4f, want %.4f", x.made, got, x.want)
		}
	}
	if got := roundedUp(2).of(500, 1000); got != 2.0/3 {
		t.Errorf("a half counts %.4f rounded up, want 2/3", got)
	}
}
