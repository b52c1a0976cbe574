package gang

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestFillerTakesTheLanesThatAreWorthMost: in a run of lanes of one width those are taken
// that are worth most, of all lanes that any order offers.
func TestFillerTakesTheLanesThatAreWorthMost(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	for range 2000 {
		c := &core{cap: 1 + rng.Int64N(9)}
		var price []float64
		for range 1 + rng.IntN(30) {
			c.need = append(c.need, need{d: rng.Int64N(60), u: none, w: 1})
			price = append(price, float64(rng.IntN(6)-1)/2)
		}
		r := 1 + rng.Int64N(40)
		var all []float64
		for i, n := range c.need {
			for left := n.d; left > 0 && price[i] > 0; left -= r {
				all = append(all, price[i]*float64(min(left, r)))
			}
		}
		slices.Sort(all)
		want := 0.0
		for _, v := range all[max(0, len(all)-int(c.cap)):] {
			want += v
		}
		f := newFiller(c)
		got, made, lanes := f.best(r, price, c.need), 0.0, int64(0)
		for i, p := range f.lanes() {
			made += price[i] * float64(min(p*r, c.need[i].d))
			lanes += p
		}
		if math.Abs(got-want) > 1e-9 || math.Abs(made-want) > 1e-9 || lanes > c.cap {
			t.Fatalf("%g, of %d lanes %g, want %g", got, lanes, made, want)
		}
	}
}
