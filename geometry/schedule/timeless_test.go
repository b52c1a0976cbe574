package schedule

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// TestTimelessRunsAreOrderedAlike: runs that take no time come into the very order that
// the states of all of them tell, also where several cost the same.
func TestTimelessRunsAreOrderedAlike(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 13))
	for range 200 {
		n := 1 + rng.IntN(8)
		costs := make([]int64, (n+1)*n)
		for i := range costs {
			costs[i] = int64(rng.IntN(4)) * 5
		}
		p := &Problem{Ticks: make([]int64, n), Dues: make([][]Due, n), Begin: 7, Change: func(from, to int) (int64, int64) {
			return 0, costs[(from+1)*n+to]
		}}
		got, ok := p.timeless()
		want := p.byStates()
		if !ok || !slices.Equal(got.Runs, want.Runs) || got.Compare(&want) != 0 {
			t.Fatalf("%v for %d (%v), want %v for %d", got.Runs, got.Cost, ok, want.Runs, want.Cost)
		}
		p.Ticks[rng.IntN(n)] = 1
		if _, ok := p.timeless(); ok {
			t.Fatal("a run that takes time passes for one that takes none")
		}
	}
}
