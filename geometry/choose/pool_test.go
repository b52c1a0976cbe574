package choose

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestNoKnownRunPaysInTheEnd looks through what an LP knows when it is solved: none of
// its runs is worth more than it costs, no two are the same, and another LP that begins
// with them is where this one ended.
func TestNoKnownRunPaysInTheEnd(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 11))
	outside := 0
	for trial := range 20 {
		c := drawTiny(rng, 7)
		p := c.problem()
		p.Mixes = mixesOfTwo()
		all := p.task(context.Background(), p.useful(), func(int) bool { return true })
		m := all.relax(nil, nil)
		m.solve(200, insideNew, 1, math.Inf(1), 1<<40)
		keys := map[uint64]bool{}
		for i := range m.runs {
			x := &m.runs[i]
			if v := x.worth(m.price); v > x.cost*(1+1e-6) {
				t.Errorf("case %d: a run is worth %.3f and costs %.3f", trial, v, x.cost)
			}
			if keys[x.key()] {
				t.Errorf("case %d: run %v is known twice", trial, x.cast)
			}
			keys[x.key()] = true
			if !slices.ContainsFunc(m.basis(), func(o cast) bool { return o.key() == x.key() }) {
				outside++
			}
		}
		again := all.relax(m.known(), nil)
		if v, want := again.value(), m.value(); math.Abs(v-want) > 1e-6*want {
			t.Errorf("case %d: an LP that begins with the runs of another is at %.6f, that at %.6f", trial, v, want)
		}
		before, key := len(m.runs), m.runs[0].key()
		m.runs[0].ratio = unlikely / 2
		if m.forget(); len(m.runs) >= before || m.seen[key] {
			t.Errorf("case %d: a run that is worth little is not forgotten", trial)
		}
	}
	if outside == 0 {
		t.Error("no LP knows runs beside its basis")
	}
}
