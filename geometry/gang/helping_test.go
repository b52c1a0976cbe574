package gang

import (
	"context"
	"errors"
	"math/rand/v2"
	"reflect"
	"sync/atomic"
	"testing"
)

// TestSearchElsewhereIsTheSame spends the long helpings of a night on other
// shelves, of which one forgets everything and one fails now and then, and wants
// the plans and the steps of the night that is searched in one process.
func TestSearchElsewhereIsTheSame(t *testing.T) {
	defer func(n int64) { worthSending = n }(worthSending)
	worthSending = 20_000
	rng := rand.New(rand.NewPCG(4, 2))
	var problems []Problem
	for range 4 {
		p := Problem{Capacity: 6, LengthCost: 3, RunCost: 4000}
		for range 14 {
			p.Orders = append(p.Orders, Order{Demand: 200 + rng.Int64N(9000)})
		}
		problems = append(problems, p)
	}
	l := Limits{Steps: 3_000_000, Seed: 3}
	want := SolveAll(t.Context(), problems, l, nil)
	shelves := []*Shelf{NewShelf(8), NewShelf(1), NewShelf(0)}
	var sent atomic.Int64
	l.Elsewhere = func(ctx context.Context, h *Helping) (*Spent, error) {
		n := sent.Add(1)
		if n%5 == 0 {
			return nil, errors.New("lost")
		}
		return shelves[int(n)%len(shelves)].Spend(ctx, h)
	}
	got := SolveAll(t.Context(), problems, l, nil)
	if sent.Load() < 8 {
		t.Fatalf("only %d helpings were handed over", sent.Load())
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("with %d helpings elsewhere the night is\n%+v, in one process\n%+v", sent.Load(), got, want)
	}
}
