package choose

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry/trials"
)

// TestBoundsOfClassesAndCasesAgainstAllPlans holds the bound of orders in few classes,
// and what it is raised to by cases, to the cases that every plan is tried of.
func TestBoundsOfClassesAndCasesAgainstAllPlans(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 3))
	rough, fine, least := 0.0, 0.0, 0.0
	for trial := range trials.Number(t, "QUOIN_CLASSES", 20, 1000) {
		c := drawTiny(rng, 4+rng.IntN(4))
		p := c.problem()
		p.Mixes = mixesOfTwo()
		all := p.task(context.Background(), p.useful(), func(int) bool { return true })
		want := c.best()
		for n := 1; n <= 4; n++ {
			k, at := all.classed(n)
			copies := 0
			for _, v := range k.copies {
				copies += v
			}
			if copies != p.Orders || len(at) != p.Orders {
				t.Fatalf("case %d: %d orders in classes of %d", trial, p.Orders, copies)
			}
			m, bound := k.lower(nil, nil, math.Inf(1), 1<<40)
			b := bracket{limit: 100_000}
			b.open = append(b.open, bracketed{k, m, true, float64(bound), p.LeastEnter})
			b.raise()
			if v := b.open[b.least()].value(); int64(v) > want {
				t.Errorf("case %d: the bound of %d classes is %.0f, raised from %d; a plan costs %d", trial, n, v, bound, want)
			} else if n == 4 {
				fine += v
			}
			if n == 1 {
				rough += float64(bound + p.LeastEnter)
			}
		}
		least += float64(want)
	}
	t.Logf("one class of each kind and the LP are %.2f %% under the best, four and cases %.2f %%", 100*(1-rough/least), 100*(1-fine/least))
	if fine < 0.8*least {
		t.Errorf("bounds of %.0f, the best are %.0f", fine, least)
	}
}

// TestCasesAreSolvedBeforeTheyAreParted counts in millionths, as nights are, where the
// bounds of two cases that begin alike differ by less than a rounding.
func TestCasesAreSolvedBeforeTheyAreParted(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 4))
	parted := 0
	for trial := range 20 {
		c := drawTiny(rng, 7)
		p := c.problem()
		p.Mixes = mixesOfTwo()
		for _, bed := range p.Beds {
			for k := range bed.Ladder {
				bed.Ladder[k].Length, bed.Ladder[k].Run = min(never, bed.Ladder[k].Length*1_000_000), min(never, bed.Ladder[k].Run*1_000_000)
			}
		}
		all := p.task(context.Background(), p.useful(), func(int) bool { return true })
		m, bound := all.lower(nil, nil, math.Inf(1), 1<<40)
		b := bracket{limit: 100_000, open: []bracketed{{all, m, true, float64(bound), 0}}}
		b.raise()
		for _, x := range b.open {
			if v := x.from.value(); x.done && len(x.t.counts) > 0 && b.work < b.limit && v > 1.01*x.from.bound {
				t.Errorf("case %d: of %d rules, the LP is at %.0f and proves %.0f", trial, len(x.t.counts), v, x.from.bound)
			}
		}
		parted += len(b.open) - 1
	}
	if parted == 0 {
		t.Error("no case was parted")
	}
}

// TestRunsAreWorthTheirNumberWhereNoOrderHasAPrice asks for two runs of a grade on which
// no order has a price: a run there is worth what the rule is worth, and is found.
func TestRunsAreWorthTheirNumberWhereNoOrderHasAPrice(t *testing.T) {
	k := &task{
		ctx:    context.Background(),
		grades: []grade{{capacity: 3, a: 1, b: 1, least: 1}, {capacity: 3, a: 1, b: 2, least: 2}},
		need:   [][]int64{{5, 0}, {0, 4}},
		id:     []int{0, 1},
		counts: []count{{low: []int64{never, 2}, n: 2}},
	}
	m := k.relax(nil, nil)
	clear(m.sep)
	m.sep[m.n-1] = 6 // the rule
	if got := m.worst(leastWorth, math.Inf(1), false); got != 1.5 {
		t.Errorf("a run of 4 that is worth 6 is said to be worth %g of its cost", got)
	}
	if len(m.extra) != 1 || m.extra[0].grade != 1 || m.extra[0].r != 2 {
		t.Errorf("found %v", m.extra)
	}
}
