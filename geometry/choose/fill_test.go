package choose

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry/trials"
)

// TestNoRunOfManyLengthsIsWorthMoreThanIsSaid looks at every length, where there are so
// many that one stands for those near it, and few orders have a price: each is met at
// some length between, and none much cheaper than the others.
func TestNoRunOfManyLengthsIsWorthMoreThanIsSaid(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 30))
	for trial := range trials.Number(t, "QUOIN_WORTH", 60, 2000) {
		k := &task{
			ctx:    context.Background(),
			grades: []grade{{capacity: 2 + rng.Int64N(4), a: 1 + 5*rng.Float64(), b: 200 * rng.Float64(), least: 1}},
			need:   [][]int64{nil},
		}
		for i := range 150 {
			k.id, k.need[0] = append(k.id, i), append(k.need[0], 500+rng.Int64N(2500))
		}
		m := k.relax(nil, nil)
		g := &k.grades[0]
		for range 2 + rng.IntN(6) { // about as much as a run costs of which a lane meets it
			i := rng.IntN(150)
			m.sep[i] = (g.a*float64(k.need[0][i]) + g.b) * (1 + 4e-3*rng.Float64())
		}
		merged := 0
		for _, s := range m.spans[0] {
			if s.low < s.r {
				merged++
			}
		}
		if merged == 0 {
			t.Fatalf("case %d: each of %d lengths is looked at by itself", trial, len(m.spans[0]))
		}
		got := m.worst(0, math.Inf(1), false)
		m.list(0)
		for r := g.least; r <= 3100; r++ {
			if v := m.fill(g, r, r, r, math.Inf(-1)) / (g.a*float64(r) + g.b); v > got*(1+1e-9) {
				t.Fatalf("case %d: a run of %d is worth %.6f of its cost, %.6f is said to be the most", trial, r, v, got)
			}
		}
	}
}
