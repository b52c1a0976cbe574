package gang

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestSqueezerKeepsItsBooks counts again, from the lanes alone, what thousands of
// moves have counted as they went.
func TestSqueezerKeepsItsBooks(t *testing.T) {
	mixed, spare := 0, 0
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 17))
		p := spread(rng, 5+rng.IntN(20), 4+rng.Int64N(8), 50)
		for i := range p.Orders {
			if seed%2 == 0 {
				p.Orders[i].Width = 1 + rng.Int64N(4)
				mixed++
			}
		}
		p.LeastLength = rng.Int64N(40)
		c := newCore(&p)
		runs := 3 + rng.IntN(6)
		sum := max(int64(runs)*c.least, volumeBound(c)+rng.Int64N(50))
		s := newSqueezer(c, runs, sum, contiguous(c), rng)
		for x := range 20 {
			s.cool(float64(x) / 20)
			made, left, got := make([]int64, len(c.need)), make([]int64, runs), int64(0)
			for k, r := range s.r {
				got += r
				left[k] = c.cap
				if r < c.least {
					t.Fatalf("seed %d: run of %d, under the least length %d", seed, r, c.least)
				}
			}
			if got != sum {
				t.Fatalf("seed %d: lengths add up to %d, want %d", seed, got, sum)
			}
			for at, i := range s.lane {
				if i == nobody {
					spare++
					continue
				}
				made[i] += s.r[at/s.per]
				left[at/s.per] -= c.need[i].w
			}
			if !slices.Equal(made, s.made) || !slices.Equal(left, s.left) || slices.Min(left) < 0 {
				t.Fatalf("seed %d: made %v and left %v, counted %v and %v", seed, s.made, s.left, made, left)
			}
			short, lacks := int64(0), 0
			for i, v := range made {
				if short += max(0, c.need[i].d-v); v < c.need[i].d {
					lacks++
				}
				if slices.Contains(s.lacks, i) != (v < c.need[i].d) {
					t.Fatalf("seed %d: order %d of %d makes %d, but lacks are %v", seed, i, c.need[i].d, v, s.lacks)
				}
			}
			if short != s.short || lacks != len(s.lacks) {
				t.Fatalf("seed %d: %d short in %d orders, counted %d in %d", seed, s.short, len(s.lacks), short, lacks)
			}
		}
	}
	if mixed == 0 || spare == 0 {
		t.Error("no widths that differ, or no lane that stays empty: not all is put to the test")
	}
}

// TestSqueezeComesToTheLeastLength compares with boxes, which know it.
func TestSqueezeComesToTheLeastLength(t *testing.T) {
	compared, equal := 0, 0
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 19))
		p := spread(rng, 5+rng.IntN(4), 5+rng.Int64N(3), 10)
		for i := range p.Orders {
			if seed%3 == 0 {
				p.Orders[i].Width = 1 + rng.Int64N(2)
			}
			if seed%2 == 0 {
				p.Orders[i].Demand = 10 * ceilDiv(p.Orders[i].Demand, 10)
			}
		}
		c := newCore(&p)
		sum := volumeBound(c) * 2
		want, proved := c.boxed(3, sum, newMeter(context.Background(), 4_000_000))
		if !proved || want == nil {
			continue
		}
		compared++
		var got []run
		for range 6 {
			if runs := c.squeeze(3, sum, contiguous(c), newMeter(context.Background(), 60_000), rng); runs != nil {
				got, sum = runs, totalLength(runs)-1
			}
		}
		if got == nil {
			t.Errorf("seed %d: nothing found", seed)
			continue
		}
		plan := c.planOf(&p, got)
		if err := plan.Check(&p); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
		if 20*totalLength(got) > 21*totalLength(want) {
			t.Errorf("seed %d: length %d, more than 5 %% over the least, %d", seed, totalLength(got), totalLength(want))
		}
		if totalLength(got) < totalLength(want) {
			t.Errorf("seed %d: length %d, proved least %d", seed, totalLength(got), totalLength(want))
		}
		if totalLength(got) == totalLength(want) {
			equal++
		}
	}
	if compared < 20 || equal < compared/2 {
		t.Errorf("%d of %d lengths are the least", equal, compared)
	}
}
