package gang

import (
	"math/rand/v2"
	"slices"
)

// dive builds a plan run by run: each time the run that is worth most for its
// cost at the prices of the covering LP, shaken a little so that dives differ,
// for what is still needed. It knows no limits but those of run lengths.
func (c *core) dive(price []float64, m *meter, rng *rand.Rand) []run {
	left := slices.Clone(c.need)
	shaken := make([]float64, len(price))
	for i, p := range price {
		// An order that costs the LP nothing must be made all the same.
		shaken[i] = max(p, 1e-3*float64(c.a)) * (1 + 0.1*rng.Float64())
	}
	f := newFiller(c)
	var runs []run
	for {
		best, lanes := run{}, make([]int64, len(left))
		ratio := 0.0
		for _, r := range c.turningLengths(left) {
			if !m.spend(f.steps()) {
				return nil
			}
			if v := f.best(r, shaken, left) / float64(c.a*r+c.b); v > ratio {
				ratio, best.r = v, r
				copy(lanes, f.lanes())
			}
		}
		if ratio == 0 {
			return runs
		}
		for i, p := range lanes {
			if p > 0 {
				best.parts = append(best.parts, part{i, p})
				left[i].d = max(0, left[i].d-p*best.r)
			}
		}
		runs = append(runs, best)
	}
}
