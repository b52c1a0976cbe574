package schedule

import (
	"math/rand/v2"
	"testing"
)

// TestRunsOfOneSetUpFollowEachOther draws up to eleven set-ups with several runs each:
// without due times all runs cost what the set-ups do in the best of all orders, and
// with them no more is missed than without what is known of the set-ups.
func TestRunsOfOneSetUpFollowEachOther(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 8))
	for trial := range 12 {
		sets := draw(rng, 4+rng.IntN(8), false)
		p := &Problem{Begin: 100}
		total := int64(0)
		for set := range sets.Ticks {
			for range 2 + rng.IntN(4) {
				p.Sets, p.Ticks, p.Dues = append(p.Sets, set), append(p.Ticks, 200+rng.Int64N(3000)), append(p.Dues, nil)
				total += p.Ticks[len(p.Ticks)-1]
			}
		}
		p.Change = func(from, to int) (int64, int64) {
			if from < 0 {
				return sets.Change(from, p.Sets[to])
			}
			return sets.Change(p.Sets[from], p.Sets[to])
		}
		s := Solve(p, 200_000, 1)
		check(t, p, s)
		if want := Exact(sets).Cost; s.Cost != want {
			t.Errorf("case %d: %d runs cost %d in changes, their set-ups %d", trial, len(p.Ticks), s.Cost, want)
		}
		for i := range p.Dues {
			if rng.IntN(3) == 0 {
				p.Dues[i] = []Due{{rng.Int64N(2 * total), 1}}
			}
		}
		check(t, p, Solve(p, 200_000, 1))
	}
}
