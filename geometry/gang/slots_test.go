package gang

import (
	"context"
	"testing"

	"pgregory.net/rapid"
)

// TestBoundsOfFewOrdersInLongRuns: worked by hand. One order of 1,000 and nine of
// 10 on 6 lanes, two in a run, no run under 50. In t runs each of the nine takes
// one lane of 50 at least; a plan of five runs has one small order beside the
// great one in the first, in 5 + 1 lanes of 200, and two in each of the others:
// 400. Without the slots the volume says (1000 + 9 * 10) / 6 = 182, and five short
// runs 250.
func TestBoundsOfFewOrdersInLongRuns(t *testing.T) {
	p := Problem{Capacity: 6, LengthCost: 1, RunCost: 100, MaxOrders: 2, LeastLength: 50, Orders: []Order{{Demand: 1000}}}
	for range 9 {
		p.Orders = append(p.Orders, Order{Demand: 10})
	}
	c := newCore(&p)
	// Five runs: the great one holds one other, as nine others need five of two.
	// It is 175 long, (1000 + 50) / 6, and four are 50.
	if got := newProofs(c).least(5); got != 375 {
		t.Errorf("five runs are said to take %d at least, not 375", got)
	}
	plan, b, err := Solve(context.Background(), p, Limits{Steps: 300_000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if plan.Cost != 900 || b.Cost < 870 {
		t.Errorf("cost %d, bound %d", plan.Cost, b.Cost)
	}
	// Customers who take no more than 60 leave most lanes of a run blank.
	p = Problem{Capacity: 12, LengthCost: 1, RunCost: 1, MaxOrders: 2, LeastLength: 50}
	for range 8 {
		p.Orders = append(p.Orders, Order{Demand: 55, Most: 60})
	}
	if plan, b, err = Solve(context.Background(), p, Limits{Steps: 100_000, Seed: 1}); err != nil || !b.Proved || plan.Cost != 4*56 {
		t.Errorf("cost %d, bound %d, %v", plan.Cost, b.Cost, err)
	}
}

// TestSlotsNeverBoundTooMuch compares with brute force where orders share few
// runs of some length.
func TestSlotsNeverBoundTooMuch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSmall(t)
		p.MaxOrders, p.LeastLength = rapid.IntRange(1, 2).Draw(t, "few"), rapid.Int64Range(2, 6).Draw(t, "long")
		if p.Validate() != nil {
			t.Skip("not a problem")
		}
		want, ok := brute(&p)
		if !ok {
			t.Skip("no plan")
		}
		c := newCore(&p)
		proof := newProofs(c)
		if got := proof.bound(noCost / 2); got > want {
			t.Fatalf("bound %d over the least cost %d", got, want)
		}
	})
}
