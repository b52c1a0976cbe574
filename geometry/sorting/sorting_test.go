package sorting

import (
	"math/rand/v2"
	"testing"

	"quoin/geometry/trials"
)

// drawn draws a few orders on few places.
func drawn(rng *rand.Rand) *Problem {
	p := &Problem{Rows: int64(1 + rng.IntN(4)), Frame: int64(20 + rng.IntN(40)), Run: int64(rng.IntN(300)), Sort: int64(1 + rng.IntN(12)), Least: int64(rng.IntN(4))}
	p.Places = p.Rows * int64(1+rng.IntN(3))
	for range 1 + rng.IntN(3) {
		p.Needs = append(p.Needs, int64(1+rng.IntN(20)))
	}
	return p
}

// leastOne tries every number of places for each order in a run of every length.
func leastOne(p *Problem) int64 {
	best := int64(never)
	for length := max(p.Least, 1); length <= 30; length++ {
		var give func(i int, room, sorted int64)
		give = func(i int, room, sorted int64) {
			if i == len(p.Needs) {
				best = min(best, p.Run+length*(p.Frame+p.Sort*sorted))
				return
			}
			for n := int64(1); n <= room; n++ {
				if n*length >= p.Needs[i] {
					give(i+1, room-n, sorted+n%p.Rows)
				}
			}
		}
		give(0, p.Places, 0)
	}
	return best
}

// TestOneRunAgainstAllRuns holds the best single run to all of them.
func TestOneRunAgainstAllRuns(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 18))
	for trial := range trials.Number(t, "", 2000, 40_000) {
		p := drawn(rng)
		want := leastOne(p)
		got := p.oneRun(never)
		if got.Cost != want {
			t.Fatalf("case %d: %+v costs %d, all runs say %d", trial, p, got.Cost, want)
		}
		if want == never {
			continue
		}
		if made := p.cost(t, got.Runs); made != want {
			t.Fatalf("case %d: %+v: the run costs %d, not %d", trial, p, made, want)
		}
		if again := p.oneRun(want); again.Runs != nil {
			t.Fatalf("case %d: %+v: %d is not below %d", trial, p, again.Cost, want)
		}
	}
}

// cost adds up what runs cost that print all orders.
func (p *Problem) cost(t *testing.T, runs []Run) (sum int64) {
	t.Helper()
	made := make([]int64, len(p.Needs))
	for _, run := range runs {
		places, sorted := int64(0), int64(0)
		for i, n := range run.Places {
			places, sorted, made[i] = places+n, sorted+n%p.Rows, made[i]+n*run.Length
		}
		if places > p.Places || run.Length < p.Least {
			t.Fatalf("%+v: no run is %+v", p, run)
		}
		sum += p.Run + run.Length*(p.Frame+p.Sort*sorted)
	}
	for i, n := range made {
		if n < p.Needs[i] {
			t.Fatalf("%+v: %d of order %d in %+v", p, n, i, runs)
		}
	}
	return sum
}

// TestPlansOfMoreRunsAreRefined begins with two runs at random: what is returned prints
// all, costs what it says, and is not below the bound.
func TestPlansOfMoreRunsAreRefined(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 18))
	better := 0
	for range trials.Number(t, "", 2000, 40_000) {
		p := drawn(rng)
		left, known := append([]int64{}, p.Needs...), []Run(nil)
		for open := true; open; {
			run, room := Run{Length: max(p.Least, int64(1+rng.IntN(12)))}, p.Places
			open = false
			for i := range left {
				n := min(room, int64(rng.IntN(4)), ceilDiv(max(left[i], 0), run.Length))
				room, left[i], run.Places = room-n, left[i]-n*run.Length, append(run.Places, n)
				open = open || left[i] > 0
			}
			known = append(known, run)
		}
		below := p.cost(t, known)
		got, bound := p.Solve(known, below, 0)
		if bound > below {
			t.Fatalf("%+v: the bound is %d, a plan costs %d", p, bound, below)
		}
		if len(got.Runs) == 0 {
			continue
		}
		better++
		if made := p.cost(t, got.Runs); made != got.Cost || made >= below || made < bound {
			t.Fatalf("%+v: %d, and %d says the plan, from %d and a bound of %d", p, made, got.Cost, below, bound)
		}
	}
	if better == 0 {
		t.Error("no plan is better")
	}
}
