package choose

import (
	"context"
	"math/rand/v2"
	"testing"

	"quoin/geometry/gang"
	"quoin/geometry/trials"
)

// tiny is a case small enough that every plan can be tried: 8 orders on 2 dies,
// 2 webs and 2 presses. On die k an order asks for need[k] frames of a lane; web
// and press decide lanes and cost.
type tiny struct {
	need  [2][]int64
	inks  []int // 1 or 2 sets: 0 or 1
	lanes [2][2]int64
	cost  [2][2][2][3]Rate // by die, web, press and number of inks
	enter int64            // of each die that is used
}

func drawTiny(rng *rand.Rand, orders int) tiny {
	var c tiny
	states := 1
	for range orders {
		d := 1 + rng.Int64N(2)
		if rng.IntN(3) == 0 {
			d += rng.Int64N(5)
		}
		for states*int(d+1) > 15_000 {
			d--
		}
		d = max(d, 1)
		states *= int(d + 1)
		c.need[0] = append(c.need[0], d)
		other := d
		if d > 1 && rng.IntN(2) == 0 {
			other = d - 1 // a die of more rows
		}
		c.need[1] = append(c.need[1], other)
		c.inks = append(c.inks, rng.IntN(2))
	}
	for die := range 2 {
		for web := range 2 {
			c.lanes[die][web] = 2 + rng.Int64N(3)
			for press := range 2 {
				base := Rate{50 + rng.Int64N(100), rng.Int64N(200)}
				for k := range 3 {
					c.cost[die][web][press][k] = base
					base.Length += rng.Int64N(30)
					base.Run += rng.Int64N(30)
				}
			}
		}
	}
	c.enter = rng.Int64N(3) * rng.Int64N(60)
	return c
}

// inksOf: one set has one ink, the other another two; both together three, of
// which the ladder has the last step.
func (c *tiny) inksOf(orders []int) int {
	seen := [2]bool{}
	for _, i := range orders {
		seen[c.inks[i]] = true
	}
	switch {
	case seen[0] && seen[1]:
		return 2
	case seen[1]:
		return 1
	}
	return 0
}

func (c *tiny) problem() *Problem {
	p := &Problem{Orders: len(c.inks), Kinds: c.inks, Enter: c.enter, LeastEnter: c.enter}
	type at struct{ die, web, press int }
	var places []at
	for die := range 2 {
		for web := range 2 {
			for press := range 2 {
				b := Bed{Tool: die, Capacity: c.lanes[die][web], Ladder: c.cost[die][web][press][:]}
				for i, d := range c.need[die] {
					b.Offers = append(b.Offers, Offer{gang.Offer{Demand: d, Width: 1}, c.inks[i]})
				}
				p.Beds = append(p.Beds, b)
				places = append(places, at{die, web, press})
			}
		}
	}
	p.Gang = func(bed int, orders []int) (gang.Problem, bool) {
		x := places[bed]
		r := c.cost[x.die][x.web][x.press][c.inksOf(orders)]
		g := gang.Problem{Capacity: c.lanes[x.die][x.web], LengthCost: r.Length, RunCost: r.Run}
		for _, i := range orders {
			g.Orders = append(g.Orders, gang.Order{Demand: c.need[x.die][i]})
		}
		return g, true
	}
	return p
}

// best is the least cost of all, by what is left of each order after each run
// that can be, on each bed, and then over all partitions: none of the planner's
// ideas and none of its code.
func (c *tiny) best() int64 {
	n := len(c.inks)
	var dies [][]int64 // what a set costs on a die, by set
	for die := range 2 {
		cell := make([]int64, 1<<n)
		for set := range cell {
			cell[set] = never
		}
		left := allLeft(c.need[die])
		for web := range 2 {
			for press := range 2 {
				for inks := range 3 {
					left.costs(c.cost[die][web][press][inks], c.lanes[die][web])
					for set := 1; set < 1<<n; set++ {
						var of []int
						for i := range n {
							if set>>i&1 == 1 {
								of = append(of, i)
							}
						}
						if c.inksOf(of) == inks {
							cell[set] = min(cell[set], left.cost[left.whole(set)])
						}
					}
				}
			}
		}
		dies = append(dies, parted(cell))
	}
	sum := make([]int64, 1<<n)
	for set := 1; set < 1<<n; set++ {
		sum[set] = never
	}
	for _, die := range dies {
		next := make([]int64, 1<<n)
		for set := range next {
			next[set] = sum[set]
			for sub := set; sub > 0; sub = (sub - 1) & set {
				next[set] = min(next[set], sum[set^sub]+die[sub]+c.enter)
			}
		}
		sum = next
	}
	return sum[1<<n-1]
}

// parted is what sets cost in one cell or several of a die.
func parted(cell []int64) []int64 {
	sum := make([]int64, len(cell))
	for set := 1; set < len(cell); set++ {
		sum[set] = never
		for sub := set; sub > 0; sub = (sub - 1) & set {
			sum[set] = min(sum[set], cell[sub]+sum[set^sub])
		}
	}
	return sum
}

// left is every state of what is left of the orders, as a number of mixed base.
type left struct {
	need  []int64
	base  []int
	cost  []int64
	digit []int64
}

func allLeft(need []int64) *left {
	l := &left{need: need, digit: make([]int64, len(need))}
	states := 1
	for _, d := range need {
		l.base = append(l.base, states)
		states *= int(d + 1)
	}
	l.cost = make([]int64, states)
	return l
}

func (l *left) whole(set int) int {
	s := 0
	for i, b := range l.base {
		if set>>i&1 == 1 {
			s += int(l.need[i]) * b
		}
	}
	return s
}

// costs fills in what each state costs: the cheapest run, and what it leaves. A
// run leaves a lower state, so the states are done in order.
func (l *left) costs(r Rate, lanes int64) {
	longest := int64(1)
	for _, d := range l.need {
		longest = max(longest, d)
	}
	for s := 1; s < len(l.cost); s++ {
		for i, b := range l.base {
			l.digit[i] = int64(s / b % int(l.need[i]+1))
		}
		l.cost[s] = never
		for length := int64(1); length <= longest; length++ {
			l.run(s, s, 0, lanes, length, r.Length*length+r.Run)
		}
	}
}

// run gives the orders from i on lanes of a run in every way.
func (l *left) run(from, s, i int, lanes, length, cost int64) {
	if lanes == 0 || i == len(l.need) {
		if s < from {
			l.cost[from] = min(l.cost[from], cost+l.cost[s])
		}
		return
	}
	for p := int64(0); p <= lanes; p++ {
		l.run(from, s-int(min(l.digit[i], p*length))*l.base[i], i+1, lanes-p, length, cost)
		if p*length >= l.digit[i] {
			return
		}
	}
}

// TestChoiceIsTheBest compares with trying everything: a sample of the cases, all
// thousand of them with QUOIN_CHOICES=1000.
func TestChoiceIsTheBest(t *testing.T) {
	cases := trials.Number(t, "QUOIN_CHOICES", 4, 25)
	proved := 0
	for seed := range cases {
		c := drawTiny(rand.New(rand.NewPCG(uint64(seed), 8)), 8)
		want := c.best()
		got := Choose(context.Background(), c.problem(), nil, gang.Limits{Steps: 20_000_000, Seed: 1})
		if got.Cost != want || got.Bound > want {
			t.Errorf("case %d: cost %d, bound %d; the best costs %d", seed, got.Cost, got.Bound, want)
		}
		if got.Proved {
			proved++
		}
	}
	if proved < cases*9/10 {
		t.Errorf("%d of %d are proved", proved, cases)
	}
}

// TestCoverIsABound keeps the relaxation under the best, alone and rounded.
func TestCoverIsABound(t *testing.T) {
	for seed := range 10 {
		c := drawTiny(rand.New(rand.NewPCG(uint64(seed), 9)), 6)
		want := c.best()
		p := c.problem()
		if cover := p.cover(context.Background(), p.useful(), nil, gang.Limits{Steps: 1_000_000}); cover.Cost > want || cover.Cost < want/2 {
			t.Errorf("case %d: bound %d, best %d", seed, cover.Cost, want)
		}
	}
}
