package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/night"
)

// drawSorted draws a night whose lanes may hold several orders, and the price of a label
// that is sorted then.
func drawSorted(seed int) (exactCase, float64) {
	rng := rand.New(rand.NewPCG(uint64(seed), 18))
	if seed%3 > 0 {
		return drawExact(seed), 0.004 * math.Exp(-4*rng.Float64())
	}
	c := drawEight(seed)
	if seed%2 == 0 {
		c.orders = c.orders[:2+rng.IntN(6)]
	}
	return c, 0.1 * math.Exp(-4*rng.Float64())
}

// drawTiny draws a night of two or three orders whose runs have a dozen places at most,
// so that all that is left of them is one of few states.
func drawTiny(seed int) (exactCase, float64) {
	rng := rand.New(rand.NewPCG(uint64(seed), 81))
	c := exactCase{terms: smallTerms, width: float64(70 + 5*rng.IntN(10)), height: float64(180 + 10*rng.IntN(12)), unused: rng.IntN(2) == 0}
	for i := range 2 {
		gap := []float64{4, 5.5, 7}[rng.IntN(3)]
		c.dies = append(c.dies, exactDie{fmt.Sprintf("D%d", i+1), 1 + rng.IntN(3), 1, 3, c.height + gap})
	}
	c.dies[0].lanes = min(c.dies[0].lanes, int(320/(c.width+3)))
	n, states := 2+rng.IntN(2), 1200
	for i := range n {
		most := int(math.Pow(float64(states), 1/float64(n-i)))
		q := 1 + rng.IntN(most-1)
		states /= q + 1
		c.orders = append(c.orders, exactOrder{
			id: fmt.Sprint("O", i), material: []string{"paper", "paper", "film"}[rng.IntN(3)], quantity: q,
			inks: [][]string{{"C", "K", "M", "Y"}, {"C", "K", "M", "Y"}, {"C", "K", "M", "White", "Y"}}[rng.IntN(3)],
		})
	}
	return c, 8 * math.Exp(-6*rng.Float64())
}

// sortedNight returns the case as the planner takes it, with lanes that may be mixed.
func (c *exactCase) sortedNight(t *testing.T, price float64) ([]job.Order, *night.Rules) {
	all, r := c.night(t)
	r.Mixed = true
	for _, p := range r.AllPresses(r.House) {
		p.Prices.PerSorted = price
	}
	return all, r
}

// sortedRuns finds what orders cost at least on one bed, label by label.
type sortedRuns struct {
	rows, places       int
	frame, once, price float64
	needs, base, stand []int
	cost               []float64
	lanes              map[int]int
}

// leastSorted tries every run of every length from every state of what is left.
func (n *exactNight) leastSorted(set, bed int, price float64) float64 {
	b := &n.beds[bed]
	material, inks := n.about(set)
	s := &sortedRuns{rows: b.rows, places: b.rows * b.lanes, price: price, lanes: map[int]int{}}
	s.frame, s.once = b.rate(&n.of.terms, material, len(inks))
	all := 1
	for _, i := range n.members(set) {
		s.needs, s.base = append(s.needs, n.of.orders[i].quantity), append(s.base, all)
		all *= n.of.orders[i].quantity + 1
	}
	s.stand, s.cost = make([]int, len(s.needs)), make([]float64, all)
	for at := 1; at < all; at++ {
		longest := 0
		for i, b := range s.base {
			longest = max(longest, at/b%(s.needs[i]+1))
		}
		s.cost[at] = math.Inf(1)
		for length := 1; length <= longest; length++ {
			s.run(at, at, 0, s.places, length)
		}
	}
	return s.cost[all-1]
}

// run gives the order at i any places that do something, or that end a lane.
func (s *sortedRuns) run(from, at, i, room, length int) {
	if i == len(s.needs) {
		if at < from {
			if cost := s.frame*float64(length) + s.once + s.cost[at]; cost < s.cost[from] {
				s.cost[from] = min(s.cost[from], cost+s.price*float64(length*s.sorted()))
			}
		}
		return
	}
	left := from / s.base[i] % (s.needs[i] + 1)
	for n := 0; n <= min(room, ceilDiv(left, length)+s.rows-1); n++ {
		s.stand[i] = n
		s.run(from, at-min(left, n*length)*s.base[i], i+1, room-n, length)
		if left == 0 {
			break
		}
	}
}

// sorted is how many places are in lanes that hold several orders, or an order and blank
// places, in the best sequence of the orders.
func (s *sortedRuns) sorted() int {
	key := 0
	for _, n := range s.stand {
		key = key*(s.places+1) + n
	}
	if n, known := s.lanes[key]; known {
		return n
	}
	best := math.MaxInt
	var place func(lanes [][]int, left []int)
	place = func(stand [][]int, left []int) {
		if len(left) == 0 {
			n, row := 0, []int(nil)
			flat := slices.Concat(stand...)
			for k, o := range flat {
				row = append(row, o)
				if len(row) == s.rows || k == len(flat)-1 {
					if len(row) < s.rows || row[0] != row[len(row)-1] {
						n += len(row)
					}
					row = nil
				}
			}
			best = min(best, n)
			return
		}
		for k, o := range left {
			place(append(slices.Clip(stand), slices.Repeat([]int{o}, s.stand[o])), slices.Delete(slices.Clone(left), k, k+1))
		}
	}
	var all []int
	for i := range s.stand {
		all = append(all, i)
	}
	place(nil, all)
	s.lanes[key] = best
	return best
}

// TestSortedNightsCostAsLittleAsTheyCan compares tiny nights of mixed lanes with an exact
// solver: no bound is above what the night costs at least, no plan below, and few above.
func TestSortedNightsCostAsLittleAsTheyCan(t *testing.T) {
	nights, more, proved, worst := trials.Number(t, "QUOIN_SORTED", 60, 400), 0, 0, 0.0
	for seed := range nights {
		c, price := drawTiny(seed)
		all, r := c.sortedNight(t, price)
		p := made(t, all, r)
		if len(p.Unplanned) > 0 {
			t.Errorf("case %d: left out %v", seed, p.Unplanned)
			continue
		}
		n := &exactNight{t: t, of: &c, beds: c.beds(), known: map[[2]int]float64{}, best: math.Inf(1), sorting: price}
		n.part(0)
		want, got, bound := 100*n.best, float64(*p.Total.Money), float64(*p.Bound.Money)
		if got < want-3 || bound > want+2 {
			t.Errorf("case %d: %.0f with a bound of %.0f, the exact solver says %.1f", seed, got, bound, want)
		}
		if got > want+3 {
			more++
			t.Logf("case %d: %.0f with a bound of %.0f, the exact solver says %.1f", seed, got, bound, want)
		}
		if p.Proved {
			proved++
		}
		worst = max(worst, 100*(want-bound)/want)
	}
	t.Logf("%d nights, %d cost more than they need, %d proved; the worst bound is %.2f %% below", nights, more, proved, worst)
	if more > nights/50 || worst > 2 {
		t.Errorf("of %d nights %d cost more than they need; the worst bound is %.2f %% below", nights, more, worst)
	}
}

// TestSortingIsInTheBound holds the gap of small nights of mixed lanes, of two to eight
// orders, to what it is where the bound knows what sorting costs.
func TestSortingIsInTheBound(t *testing.T) {
	nights, proved, sum := trials.Number(t, "QUOIN_SORTED", 60, 400), 0, 0.0
	for seed := range nights {
		c, price := drawSorted(seed)
		all, r := c.sortedNight(t, price)
		p := made(t, all, r)
		if p.Proved {
			proved++
		}
		sum += p.GapPercent
		if p.GapPercent > 6 {
			t.Errorf("case %d: the gap is %.2f %%", seed, p.GapPercent)
		}
	}
	t.Logf("%d of %d proved, a gap of %.3f %% on average", proved, nights, sum/float64(nights))
	if proved < nights*4/5 || sum > 0.2*float64(nights) {
		t.Errorf("%d of %d are proved, the gap is %.3f %% on average", proved, nights, sum/float64(nights))
	}
}
