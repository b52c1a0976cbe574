package gang

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"
)

// The table counts every choice of lanes for single lengths: none in a cell that
// an auction refutes may fit.
func TestRefutedCellsHoldNoPlan(t *testing.T) {
	m := newMeter(context.Background(), 0)
	refuted, wide, kept := 0, 0, 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 11))
		runs := 3 + int(seed%2)
		p := drawSwept(rng, 6+rng.IntN(12), int64(9-runs)*2+rng.Int64N(5))
		c := newCore(&p)
		low := prefixBound(c, runs)
		w, tab := newCells(c, runs, m), newTable(c, runs)
		for range 40 {
			w.begin(low + rng.Int64N(1+low/12))
			if w.limit < 0 {
				continue
			}
			b := w.left[0]
			for k := 1; k < runs; k++ {
				b.lo[k] = 1 + rng.Int64N(1+w.aim/int64(k+1))
				b.hi[k] = b.lo[k] + rng.Int64N(2+w.aim/30)
			}
			if !w.tighten(&b) {
				continue
			}
			if !w.refuted(&b) {
				kept++
				continue
			}
			refuted++
			if b.width(1) > 0 && b.width(runs-1) > 0 {
				wide++
			}
			r := make([]int64, runs)
			eachLengths(&b, r, 1, w.aim, func() {
				if tab.spare(m, r, r) >= 0 {
					t.Fatalf("seed %d: lengths %v fit, their cell %v is refuted", seed, r, b)
				}
			})
		}
	}
	if refuted < 200 || wide < 100 || kept < 200 {
		t.Errorf("%d cells refuted, %d of them wide, %d not: not all is put to the test", refuted, wide, kept)
	}
}

// eachLengths calls f for the sorted lengths r of a cell, from run k on.
func eachLengths(b *box, r []int64, k int, sum int64, f func()) {
	if k == len(r) {
		r[0] = sum
		for _, v := range r[1:] {
			r[0] -= v
		}
		if r[0] >= r[1] {
			f()
		}
		return
	}
	for r[k] = b.lo[k]; r[k] <= b.hi[k]; r[k]++ {
		if k == 1 || r[k] <= r[k-1] {
			eachLengths(b, r, k+1, sum, f)
		}
	}
}

// Boxes give the least sum of lengths another way. Cells must not prove more,
// and mostly prove all of it.
func TestCellsProveNoMoreThanBoxes(t *testing.T) {
	compared, all := 0, 0
	for seed := range uint64(120) {
		rng := rand.New(rand.NewPCG(seed, 13))
		p, s, want := drawBoxed(rng, seed%3 == 0)
		if want == nil || p.LeastLength > 0 && len(want) < 3 {
			continue // cells know three runs only
		}
		compared++
		s.cost = s.c.cost(want) + 20
		s.cellsOf(3).raise(s)
		least, got := totalLength(want), s.proof.least(3)
		if got > least {
			t.Errorf("seed %d: proved %d, boxes have a plan of %d", seed, got, least)
		}
		if got == least {
			all++
		}
	}
	if compared < 60 || 2*all < compared {
		t.Errorf("%d of %d bounds are as good as can be", all, compared)
	}
}

// Where orders have few lanes each, the volume is a percent short of any plan,
// and long runs are too many for a sweep to refute.
func TestCellsBoundLongRuns(t *testing.T) {
	for _, stations := range []int64{24, 72} {
		rng := rand.New(rand.NewPCG(uint64(stations), 1))
		p := atMost(spread(rng, int(stations)*2/3, stations, 5000), 3)
		plan, b, err := Solve(context.Background(), p, Limits{Steps: StepsFor(time.Second / 2), Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		if err := plan.Check(&p); err != nil {
			t.Error(err)
		}
		if 1000*b.Cost < 1003*b.Length || b.GapPercent > 0.7 {
			t.Errorf("%d stations: bound %d of a volume of %d, gap %.2f %%", stations, b.Cost, b.Length, b.GapPercent)
		}
	}
}
