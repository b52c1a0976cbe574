package gang

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"quoin/geometry/trials"
)

// drawSwept returns a small problem of equal or unequal widths.
func drawSwept(rng *rand.Rand, orders int, capacity int64) Problem {
	p := spread(rng, orders, capacity, 2)
	if rng.IntN(2) == 0 {
		for i := range p.Orders {
			p.Orders[i].Width = 1 + rng.Int64N(2)
		}
	}
	return p
}

// The table counts every choice of lanes: what the auction says of lengths must
// never contradict it, nor what it leaves to the table change its answer.
func TestAuctionAgreesWithTheTable(t *testing.T) {
	count, mended := map[verdict]int{}, 0
	m := newMeter(context.Background(), 0)
	seeds := trials.Number(t, "", 40, 120)
	for seed := range uint64(seeds) {
		rng := rand.New(rand.NewPCG(seed, 3))
		runs := 3 + int(seed%2)
		p := drawSwept(rng, 4+rng.IntN(12), int64(9-runs)*2+rng.Int64N(5))
		c := newCore(&p)
		vol, low := load(c), prefixBound(c, runs)
		s := &sweep{c: c, t: runs, r: make([]int64, runs), begun: map[int64]*placesLeft{}}
		q, tab, other := newAuction(c, runs), newTable(c, runs), newTable(c, runs)
		for range 100 {
			sum := low + rng.Int64N(1+low/6)
			at := s.places(sum)
			if at.n == 0 || !s.lengths(rng.Int64N(at.n), sum) {
				continue
			}
			r := s.r
			fits := tab.spare(m, r, r) >= 0
			if sum*c.cap < vol || !q.choose(r, sum*c.cap-vol) {
				if fits {
					t.Fatalf("seed %d: lengths %v fit, the volume is said to forbid them", seed, r)
				}
				continue
			}
			v := q.settle(auctionRounds)
			count[v]++
			switch v {
			case no:
				if fits {
					t.Fatalf("seed %d: lengths %v fit, the auction refutes them", seed, r)
				}
			case yes:
				checkLanes(t, c, q.picked(), r)
			case maybe:
				other.take(q)
				if got := other.fill(m, q.best) >= 0; got != fits {
					t.Fatalf("seed %d: lengths %v: %v with what the auction left, %v in all", seed, r, got, fits)
				}
				if q.mend() {
					mended++
					checkLanes(t, c, q.picked(), r)
				}
			}
		}
	}
	if count[no] < seeds || count[yes] < seeds/2 || mended < seeds/2 {
		t.Errorf("verdicts %v, %d mended: not all is put to the test", count, mended)
	}
}

func checkLanes(t *testing.T, c *core, lane [][]int64, r []int64) {
	t.Helper()
	used := make([]int64, len(r))
	for i, ps := range lane {
		made := int64(0)
		for k, p := range ps {
			made += p * r[k]
			used[k] += p * c.need[i].w
		}
		if made < c.need[i].d {
			t.Fatalf("order %d: %d made of %d", i, made, c.need[i].d)
		}
	}
	for _, u := range used {
		if u > c.cap {
			t.Fatalf("%d used of %d", u, c.cap)
		}
	}
}

func TestPlacesAreAllSortedLengthsOnce(t *testing.T) {
	p := spread(rand.New(rand.NewPCG(1, 1)), 12, 6, 10)
	p.LeastLength = 3
	c := newCore(&p)
	for _, runs := range []int{3, 4} {
		s := &sweep{c: c, t: runs, r: make([]int64, runs), begun: map[int64]*placesLeft{}}
		for sum := int64(9); sum < 70; sum++ {
			at := s.places(sum)
			met := map[[4]int64]bool{}
			for range at.n {
				if s.lengths(at.place, sum) {
					var r [4]int64
					copy(r[:], s.r)
					if met[r] {
						t.Fatalf("%v twice", r)
					}
					met[r] = true
				}
				at.place = (at.place + at.step) % at.n
			}
			want := 0
			for a := int64(3); a < sum; a++ {
				for b := int64(3); b <= a; b++ {
					if d := sum - a - b; runs == 3 && d >= 3 && d <= b {
						want++
					}
					for d := int64(3); runs == 4 && d <= b; d++ {
						if e := sum - a - b - d; e >= 3 && e <= d {
							want++
						}
					}
				}
			}
			if len(met) != want {
				t.Fatalf("%d runs of %d in all: %d places, want %d", runs, sum, len(met), want)
			}
		}
	}
}

// drawBoxed returns a small problem of three runs, perhaps with a least length,
// a solver that knows no plan, and the shortest plan by boxes; nil where they
// have none that is proved.
func drawBoxed(rng *rand.Rand, limits bool) (Problem, *solver, []run) {
	p := atMost(drawSwept(rng, 5+rng.IntN(6), 6+rng.Int64N(4)), 3)
	if limits {
		p.LeastLength = 3
	}
	s, err := newSolver(context.Background(), p, 1, nil)
	if err != nil {
		return p, nil, nil
	}
	s.cost = noCost / 4
	want, proved := s.c.boxed(3, 5*load(s.c), s.m)
	if !proved {
		return p, s, nil
	}
	return p, s, want
}

// The search by boxes is another way to the least sum of lengths.
func TestSweepAgreesWithBoxes(t *testing.T) {
	compared := 0
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 5))
		p, s, want := drawBoxed(rng, seed%3 == 0)
		if want == nil || p.LeastLength > 0 && len(want) < 3 {
			continue // sweeps know three runs only
		}
		compared++
		s.cost = s.c.cost(want) + 5
		if !s.sweep(3) {
			t.Fatalf("seed %d: not settled", seed)
		}
		if got, least := totalLength(s.best), totalLength(want); got != least || s.proof.least(3) != least {
			t.Errorf("seed %d: %d, proved %d; boxes say %d", seed, got, s.proof.least(3), least)
		}
		plan := s.c.planOf(&p, s.best)
		if err := plan.Check(&p); err != nil {
			t.Error(err)
		}
	}
	if compared < 30 {
		t.Errorf("%d cases compared", compared)
	}
}

// Four runs have no table on so many stations.
func TestStationsComeWithinOnePercent(t *testing.T) {
	for _, stations := range []int64{24, 42, 72} {
		for seed := range uint64(trials.Number(t, "", 2, 4)) {
			rng := rand.New(rand.NewPCG(seed, 1))
			p := atMost(spread(rng, int(stations)/2, stations, 50), 3+int(seed%2))
			plan, b, err := Solve(context.Background(), p, Limits{Steps: StepsFor(time.Second / 4), Seed: 1})
			if err != nil {
				t.Fatal(err)
			}
			if err := plan.Check(&p); err != nil {
				t.Error(err)
			}
			if b.GapPercent > 1 {
				t.Errorf("%d stations, seed %d: gap %.2f %%", stations, seed, b.GapPercent)
			}
			if seed > 0 {
				continue
			}
			again, _, err := Solve(context.Background(), p, Limits{Steps: StepsFor(time.Second / 4), Seed: 1})
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(plan, again); d != "" {
				t.Errorf("%d stations: another plan the second time: %s", stations, d)
			}
		}
	}
}

// Long runs are swept on grids, which must leave the plans whole and the bound
// alone.
func TestLongRunsAreSweptOnGrids(t *testing.T) {
	for seed := range uint64(3) {
		rng := rand.New(rand.NewPCG(seed, 1))
		p := atMost(spread(rng, 12, 24, 50_000), 3)
		for i := range p.Orders {
			p.Orders[i].Width = 1 + rng.Int64N(3)
		}
		p.Capacity = 48
		plan, b, err := Solve(context.Background(), p, Limits{Steps: StepsFor(time.Second / 4), Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		if err := plan.Check(&p); err != nil {
			t.Error(err)
		}
		if b.GapPercent > 1 {
			t.Errorf("seed %d: gap %.2f %%", seed, b.GapPercent)
		}
	}
}
