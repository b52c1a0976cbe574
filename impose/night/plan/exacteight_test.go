package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"quoin/geometry/trials"
)

// drawEight draws a night of eight orders of one label on two dies, two webs of each
// of two presses. They are a few frames each, so that what is left of all of them is
// one of some thousand states.
func drawEight(seed int) exactCase {
	rng := rand.New(rand.NewPCG(uint64(seed), 88))
	c := exactCase{terms: smallTerms, width: float64(60 + 5*rng.IntN(8)), height: float64(50 + 5*rng.IntN(10))}
	for i := range 2 {
		gap := []float64{4, 5.5, 7}[rng.IntN(3)]
		rows := 1 + int((250+150*rng.Float64())/(c.height+gap))
		lanes := min(2+rng.IntN(3), int((340-20-3+3)/(c.width+3)))
		c.dies = append(c.dies, exactDie{fmt.Sprintf("D%d", i+1), lanes, rows, 3, float64(rows) * (c.height + gap)})
	}
	beds := c.beds()
	states := make([]int, len(beds))
	for b := range states {
		states[b] = 1
	}
	for i := range 8 {
		frames := 1 + rng.IntN(2)
		if rng.IntN(3) == 0 {
			frames += rng.IntN(4)
		}
		quantity := 0
		for ; frames > 0; frames-- {
			quantity = beds[0].rows*frames - rng.IntN(3)
			most := 0
			for b := range beds {
				most = max(most, states[b]*(1+ceilDiv(quantity, beds[b].rows)))
			}
			if most <= 6000 {
				break
			}
		}
		quantity = max(quantity, 1)
		for b := range beds {
			states[b] *= 1 + ceilDiv(quantity, beds[b].rows)
		}
		c.orders = append(c.orders, exactOrder{
			id: fmt.Sprint("O", i), material: []string{"paper", "paper", "film"}[rng.IntN(3)], quantity: quantity,
			inks: [][]string{{"C", "K", "M", "Y"}, {"C", "Gold", "K", "M", "Y"}, {"C", "K", "M", "White", "Y"}, {"C", "Gold", "K", "Leaf", "M", "White", "Y"}}[rng.IntN(4)],
		})
	}
	return c
}

// cellCosts is what every set of orders costs as one group, by bed; infinite where
// their materials differ.
func (n *exactNight) cellCosts() [][]float64 {
	out := make([][]float64, len(n.beds))
	all := 1<<len(n.of.orders) - 1
	for b := range out {
		out[b] = slices.Repeat([]float64{math.Inf(1)}, all+1)
	}
	for _, material := range []string{"paper", "film"} {
		var mine []int
		for i, o := range n.of.orders {
			if o.material == material {
				mine = append(mine, i)
			}
		}
		for b := range n.beds {
			bed := &n.beds[b]
			var needs []int
			for _, i := range mine {
				needs = append(needs, ceilDiv(n.of.orders[i].quantity, bed.rows))
			}
			for inks := 4; inks <= 7; inks++ {
				frame, once := bed.rate(&n.of.terms, material, inks)
				s := newStates(needs, bed.lanes)
				s.fill(frame, once)
				for local := 1; local < 1<<len(mine); local++ {
					set, whole := 0, 0
					for k, i := range mine {
						if local>>k&1 == 1 {
							set, whole = set|1<<i, whole+needs[k]*s.base[k]
						}
					}
					if _, all := n.about(set); len(all) == inks {
						out[b][set] = s.cost[whole]
					}
				}
			}
		}
	}
	return out
}

// states is what is left of orders, as numbers of mixed base, and what that costs.
type states struct {
	needs, base, left []int
	lanes             int
	cost              []float64
}

func newStates(needs []int, lanes int) *states {
	s := &states{needs: needs, lanes: lanes, left: make([]int, len(needs))}
	all := 1
	for _, n := range needs {
		s.base = append(s.base, all)
		all *= n + 1
	}
	s.cost = make([]float64, all)
	return s
}

// fill tries every run from every state: what a run leaves is a lower one.
func (s *states) fill(frame, once float64) {
	for at := 1; at < len(s.cost); at++ {
		longest := 0
		for i, b := range s.base {
			s.left[i] = at / b % (s.needs[i] + 1)
			longest = max(longest, s.left[i])
		}
		s.cost[at] = math.Inf(1)
		for length := 1; length <= longest; length++ {
			s.run(at, at, 0, s.lanes, length, frame*float64(length)+once)
		}
	}
}

func (s *states) run(from, at, i, lanes, length int, cost float64) {
	if lanes == 0 || i == len(s.needs) {
		if at < from {
			s.cost[from] = min(s.cost[from], cost+s.cost[at])
		}
		return
	}
	for n := 0; n <= lanes; n++ {
		s.run(from, at-min(s.left[i], n*length)*s.base[i], i+1, lanes-n, length, cost)
		if n*length >= s.left[i] {
			return
		}
	}
}

// leastOfEight is the least cost of the night: every way to part the orders into
// groups, every bed for each, every order of the groups on a press; what costs more
// than the best by its groups alone is not gone on with.
func (c *exactCase) leastOfEight(t *testing.T) float64 {
	n := &exactNight{t: t, of: c, beds: c.beds(), best: math.Inf(1)}
	cells := n.cellCosts()
	all := 1<<len(c.orders) - 1
	floor := make([]float64, all+1) // of a set, without changes
	for set := 1; set <= all; set++ {
		floor[set] = math.Inf(1)
		for sub := set; sub > 0; sub = (sub - 1) & set {
			for b := range cells {
				floor[set] = min(floor[set], cells[b][sub]+floor[set^sub])
			}
		}
	}
	var lay func(open int, cost float64, groups []exactGroup)
	lay = func(open int, cost float64, groups []exactGroup) {
		if open == 0 {
			for p := range exactPresses {
				cost += leastChanges(&c.terms, slices.DeleteFunc(slices.Clone(groups), func(g exactGroup) bool { return g.bed.press != p }))
			}
			n.best = min(n.best, cost)
			return
		}
		first := open & -open
		rest := open ^ first
		for sub := rest; ; sub = (sub - 1) & rest {
			set := sub | first
			for b := range cells {
				if cost+cells[b][set]+floor[open^set] < n.best {
					material, inks := n.about(set)
					lay(open^set, cost+cells[b][set], append(slices.Clip(groups), exactGroup{&n.beds[b], material, inks}))
				}
			}
			if sub == 0 {
				break
			}
		}
	}
	lay(all, 0, nil)
	return n.best
}

// TestNightsOfEightCostAsLittleAsTheyCan compares nights by money of eight orders, two
// dies, two presses of two webs, each with the order of its runs, with an exact solver
// that shares no code with the planner: a sample, all thousand with QUOIN_EIGHTS=1000
// and in the long pass.
func TestNightsOfEightCostAsLittleAsTheyCan(t *testing.T) {
	if testing.Short() {
		t.Skip("tries every plan of some nights")
	}
	proved, runs, cases := 0, 0, trials.Number(t, "QUOIN_EIGHTS", 6, 1000)
	for seed := range cases {
		c := drawEight(seed)
		all, r := c.night(t)
		p := made(t, all, r)
		want := 100 * c.leastOfEight(t)
		// Each run is rounded to the cent.
		near := float64(len(p.Runs))/2 + 0.01
		if got := float64(*p.Total.Money); math.Abs(got-want) > near || len(p.Unplanned) > 0 {
			t.Errorf("case %d: %.0f, the exact solver says %.1f (%+.3f %%), left out %v", seed, got, want, 100*(got-want)/want, p.Unplanned)
		}
		if bound := float64(*p.Bound.Money); bound > want+near {
			t.Errorf("case %d: the bound is %.0f, the exact solver says %.1f", seed, bound, want)
		}
		runs += len(p.Runs)
		if p.Proved {
			proved++
		}
	}
	if proved < cases*9/10 {
		t.Errorf("%d of %d are proved", proved, cases)
	}
	t.Logf("%d nights, %.1f runs each, %d proved", cases, float64(runs)/float64(cases), proved)
}
