package choose

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry/gang"
	"quoin/geometry/trials"
)

// mixesOfTwo are those of two kinds of orders, of which the second has an ink.
func mixesOfTwo() []Mix {
	return []Mix{{0, []bool{true, false}}, {1, []bool{false, true}}, {2, []bool{true, true}}}
}

// TestJointRunsAndTheirBoundAgainstAllPlans holds the search over the runs of all
// beds to the cases that every plan is tried of: no bound is above the best, and
// the runs print all orders and cost no less.
func TestJointRunsAndTheirBoundAgainstAllPlans(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	cost, least, bounds := 0.0, 0.0, 0.0
	for trial := range trials.Number(t, "QUOIN_JOINT", 8, 1000) {
		c := drawTiny(rng, 4+rng.IntN(4))
		p := c.problem()
		p.Mixes = mixesOfTwo()
		x := p.joint(context.Background(), p.useful(), nil, gang.Limits{Steps: 6_000, Seed: 1}, true)
		want := c.best()
		if x.Lanes > want {
			t.Errorf("case %d: the bound is %d, a plan costs %d", trial, x.Lanes, want)
		}
		got, printed, tools := int64(0), 0, map[int]bool{}
		for _, cell := range x.Cells {
			g, _ := p.Gang(cell.Bed, cell.Orders)
			plan, err := g.PlanOf(cell.Runs)
			if err != nil {
				t.Errorf("case %d: %v", trial, err)
			}
			got, printed = got+plan.Cost, printed+len(cell.Orders)
			tools[p.Beds[cell.Bed].Tool] = true
		}
		got += int64(len(tools)) * p.Enter
		if printed != p.Orders || got < want {
			t.Errorf("case %d: %d of %d orders for %d, the least is %d", trial, printed, p.Orders, got, want)
		}
		cost, least, bounds = cost+float64(got), least+float64(want), bounds+float64(x.Lanes)
	}
	t.Logf("runs cost %.2f %% more than the best, the bound is %.2f %% under it", 100*(cost/least-1), 100*(1-bounds/least))
	if cost > 1.06*least || bounds < 0.85*least {
		t.Errorf("runs for %.0f and bounds of %.0f, the best are %.0f", cost, bounds, least)
	}
}

// TestNoRunIsWorthMoreThanIsSaid compares what the LP says of the run that is worth
// most for its cost with all lengths and all lanes, where lanes have a cost that
// rises and falls with the length of the run.
func TestNoRunIsWorthMoreThanIsSaid(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 8))
	for trial := range trials.Number(t, "QUOIN_WORTH", 200, 5000) {
		n := 2 + rng.IntN(5)
		roll := 3 + rng.Int64N(9)
		k := &task{
			ctx:    context.Background(),
			grades: []grade{{capacity: 2 + rng.Int64N(4), a: 1 + 5*rng.Float64(), b: 20 * rng.Float64(), least: 1 + rng.Int64N(3)}},
			need:   [][]int64{nil},
			lane: func(_, _ int, low, high int64) int64 {
				switch full := low / roll; {
				case full*roll == low:
					return 2 * full
				case high >= (full+1)*roll:
					return 2 * (full + 1)
				default:
					return 2*(full+1) + 3
				}
			},
		}
		longest := int64(1)
		for i := range n {
			d := 1 + rng.Int64N(60)
			longest = max(longest, d)
			k.id, k.need[0] = append(k.id, i), append(k.need[0], d)
		}
		cuts := make([][]cut, n)
		for i := range cuts {
			for _, k := range rng.Perm(mostParts)[:rng.IntN(3)] {
				cuts[i] = append(cuts[i], roundedUp(int64(k)+1))
			}
			for range rng.IntN(3) {
				cuts[i] = append(cuts[i], inSteps(leastStep+0.85*rng.Float64()))
			}
		}
		if rng.IntN(3) == 0 {
			k.counts = []count{{low: []int64{1 + rng.Int64N(longest)}, most: rng.IntN(2) == 0, n: 1}}
		}
		m := k.relax(nil, cuts)
		draw := func() {
			for i := range m.sep {
				m.sep[i] = 60 * rng.Float64() * float64(rng.IntN(3))
			}
		}
		for range rng.IntN(3) { // what was known at other prices
			draw()
			m.generate(true)
		}
		if draw(); rng.IntN(2) == 0 { // of which most are now what they were
			copy(m.sep, m.last)
			m.sep[rng.IntN(len(m.sep))] += 20 * rng.Float64()
		}
		want := 1.0
		g := &k.grades[0]
		for r := g.least; r <= longest+5; r++ {
			most := make([]float64, g.capacity+1) // by lanes
			for i := range n {
				d := k.need[0][i]
				for room := g.capacity; room > 0; room-- {
					for p := int64(1); p <= room; p++ {
						v := m.sep[i]*math.Min(1, float64(p*r)/float64(d)) - float64(p*k.lane(0, 0, r, r))
						for _, c := range m.cuts[i] {
							rounded := math.Floor(float64(c.k*p*r)/float64(d)) + 1
							if c.step > 0 {
								whole, beside := math.Modf(float64(p*r) / float64(d) / c.step)
								_, rest := math.Modf(1 / c.step)
								rounded = whole + math.Min(1, beside/rest)
							}
							if p*r >= d {
								v += m.sep[c.row]
							} else {
								v += m.sep[c.row] * rounded / float64(c.k+1)
							}
						}
						most[room] = math.Max(most[room], most[room-p]+v)
					}
				}
			}
			for _, v := range most {
				want = math.Max(want, (m.bonus(0, r)+v)/(g.a*float64(r)+g.b))
			}
		}
		m.generate(true)
		for _, looked := range []bool{false, true} {
			got := m.worst(1, math.Inf(1), looked)
			if got < want*(1-1e-9) || got > want*(1+nearRatio)+1e-9 {
				t.Errorf("case %d, looked at before %v: %.6f, all runs say %.6f", trial, looked, got, want)
			}
		}
	}
}
