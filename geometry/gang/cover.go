package gang

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Bed is one way to print orders that may be printed in several ways: another
// press, web, die or turn. Its runs share out a capacity and cost what they do
// there.
type Bed struct {
	Capacity            int64
	Least               int64   // length of every run; 0 or 1 sets no limit
	LengthCost, RunCost int64   // as in Problem
	Offers              []Offer // by class of orders
}

// Offer is what a class of orders asks of a bed. Demand 0 says that it can't be
// printed there.
type Offer struct{ Demand, Width int64 }

// BedRun is a run of a bed; Made is how much it makes of the orders of each class.
type BedRun struct {
	Bed    int
	Length int64
	Made   []float64
}

// Covered is a bound over all ways to print orders.
type Covered struct {
	Cost int64 // that no plan undercuts, however it shares orders out over beds
	// Part is how much of a class of orders the relaxation prints on a bed: by
	// bed and class, in orders.
	Part [][]float64
	// Worth is what an order of a class adds to the bound.
	Worth []float64
	Steps int64
}

// Cover bounds the cost of printing orders that may be shared out over beds, and
// even split between them, by the covering LP over all runs of all beds; see
// columns, which does so for one bed and every order by itself. Orders that ask
// the same of every bed are one class, of which there are copies. Classes that
// no bed takes make the bound meaningless: leave them out.
// Runs of a plan that is known make the prices right from the start.
func Cover(ctx context.Context, beds []Bed, copies []int64, runs []BedRun, steps int64) Covered {
	c := newCover(beds, copies, newMeter(ctx, steps))
	for _, r := range runs {
		cost := float64(beds[r.Bed].LengthCost*r.Length + beds[r.Bed].RunCost)
		if at, ok := c.enter(r.Made, cost); ok {
			c.col[at] = bedColumn{column{made: r.Made, cost: cost}, r.Bed}
		}
	}
	c.solve()
	out := Covered{Cost: int64(c.bound * (1 - 1e-9)), Worth: slices.Clone(c.best), Steps: c.m.used}
	for range beds {
		out.Part = append(out.Part, make([]float64, len(copies)))
	}
	for r, x := range c.x {
		for i, v := range c.col[r].made {
			if v > 0 && x > 0 { // what is spared has v below 0
				out.Part[c.col[r].bed][i] += v * x
			}
		}
	}
	return out
}

// cover is the LP. Its rows are classes in orders: a run makes of each the share
// of an order that it prints, times the copies that it holds.
type cover struct {
	basis
	beds   []Bed
	copies []float64
	m      *meter
	col    []bedColumn    // of the basis
	spans  [][]lengthSpan // run lengths by bed
	round  int
	sep    []float64 // the prices at which runs are looked for
	inward float64   // part of the prices that prove the bound in them
	top    float64   // what the basis costs: no LP of more runs costs more
	items  []coverItem
	bound  float64
	best   []float64 // the prices that prove it
}

// lengthSpan is turning lengths near each other, the least and the greatest: none
// of them is worth more than the greatest or costs less than the least. Between
// two turning lengths no run is worth more for its cost than at one of them.
type lengthSpan struct {
	low, r int64
	ratio  float64 // worth by cost when it was last looked at
}

// Not all lengths are looked at in each round: but for every wholeRounds-th, those
// are left out that were worth less than this much of their cost.
const (
	wholeRounds = 6
	promising   = 0.96
)

// nearBound is by how much the basis may cost more than the bound for that to be
// near enough.
const nearBound = 1.002

// inside is how much of the prices that prove the bound is in those at which runs
// are looked for: between the two the bound rises steadily, where the basis's own
// prices leap about (P. Wentges, "Weighted Dantzig-Wolfe decomposition for linear
// mixed-integer programming", International Transactions in Operational Research
// 4(2), 1997).
const inside = 0.75

// little is by how much at most the classes are enlarged, each otherwise, so that
// no two columns run out at once and each that enters brings the basis on. The bound
// is that of the classes as they are.
const little = 5e-4

// bedColumn is a possible run of a bed.
type bedColumn struct {
	column
	bed int
}

// coverItem is lanes of one class that are worth the same.
type coverItem struct {
	i     int
	lanes int64
	part  float64 // of an order, that a lane makes
	value float64
	each  float64 // value by width
}

func newCover(beds []Bed, copies []int64, m *meter) *cover {
	n := len(copies)
	c := &cover{basis: newBasis(n), beds: beds, m: m, col: make([]bedColumn, n), best: make([]float64, n), sep: make([]float64, n), inward: inside}
	for i, k := range copies {
		c.copies = append(c.copies, float64(k))
		c.inv[i] = make([]float64, n)
		_, odd := math.Modf(float64(i+1) * math.Phi)
		c.inv[i][i], c.x[i], c.cost[i] = 1, float64(k)*(1+little*(0.1+odd)), math.Inf(1)
		for b := range beds {
			if cost := beds[b].alone(i); cost < c.cost[i] {
				made := make([]float64, n)
				made[i] = 1
				c.cost[i], c.col[i] = cost, bedColumn{column{made: made, cost: cost}, b}
			}
		}
	}
	for b := range beds {
		c.spans = append(c.spans, beds[b].spans())
	}
	c.setPrices()
	return c
}

// alone returns what an order of the class costs by itself in one run of the bed.
func (b *Bed) alone(i int) float64 {
	o := b.Offers[i]
	if o.Demand == 0 || o.Width > b.Capacity {
		return math.Inf(1)
	}
	return float64(b.LengthCost*max(b.Least, ceilDiv(o.Demand, b.Capacity/o.Width)) + b.RunCost)
}

// fineSpans is how many lengths of a bed are looked at one by one. Of more, one
// stands for all down to a hundredth less, which weakens the bound by less.
const fineSpans = 100

// spans lists the run lengths at which a lane more or less meets an order.
func (b *Bed) spans() []lengthSpan {
	least := max(b.Least, 1)
	all := []int64{least}
	for _, o := range b.Offers {
		if o.Demand == 0 {
			continue
		}
		for p := int64(1); p <= b.Capacity/o.Width; p++ {
			all = append(all, max(least, o.Demand/p), max(least, ceilDiv(o.Demand, p)))
		}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	var out []lengthSpan
	for _, r := range all {
		if n := len(out); len(all) > fineSpans && n > 0 && r*100 < out[n-1].low*101 {
			out[n-1].r = r
			continue
		}
		out = append(out, lengthSpan{r, r, 0})
	}
	return out
}

// solve generates columns until none pays, the bound is near enough or the steps
// are spent.
func (c *cover) solve() {
	for again := true; again; {
		whole := c.round%wholeRounds == 0
		c.round++
		found := c.generate(whole)
		if whole && c.top < c.bound*nearBound {
			return
		}
		entered := false
		for _, col := range found {
			if c.m.done() {
				return
			}
			if col.worth(c.price) <= col.cost*(1+1e-9) {
				continue
			}
			if at, ok := c.enter(col.made, col.cost); ok {
				c.m.spend(int64(len(c.x)*len(c.x)/30 + 1))
				c.col[at], entered = col, true
			}
		}
		entered = c.spare() || entered
		switch {
		case entered:
			c.inward = inside
		case whole && c.inward > 0: // the prices between said nothing new
			if c.inward /= 2; c.inward < 0.05 {
				c.inward = 0
			}
			c.round = 0
		default:
			again = !whole
			c.round = 0 // all are looked at next
		}
		again = again && !c.m.done()
	}
}

// spare lets more be made of a class than is ordered, where that has a price below
// 0, and reports whether it did.
func (c *cover) spare() (entered bool) {
	for tries := 0; tries < 2*len(c.price) && !c.m.done(); tries++ {
		least, at := -1e-9, -1
		for i, p := range c.price {
			if p < least {
				least, at = p, i
			}
		}
		if at < 0 {
			break
		}
		made := make([]float64, len(c.x))
		made[at] = -1
		place, ok := c.enter(made, 0)
		if !ok {
			break
		}
		c.m.spend(int64(len(c.x)*len(c.x)/30 + 1))
		c.col[place], entered = bedColumn{column{made: made}, -1}, true
	}
	return entered
}

// generate looks for the run of each length and bed that is worth most at the
// prices and returns those that pay, the best first. Looking at all of them
// raises the bound.
func (c *cover) generate(whole bool) []bedColumn {
	total, top := 0.0, 0.0
	for r, x := range c.x {
		top += c.cost[r] * x
	}
	for i, p := range c.price {
		c.sep[i] = max(0, p)
		if c.bound > 0 {
			c.sep[i] += c.inward * (c.best[i] - c.sep[i])
		}
		total += c.sep[i] * c.copies[i]
	}
	worst := 1.0
	var out []bedColumn
	for b := range c.beds {
		bed := &c.beds[b]
		for k := range c.spans[b] {
			s := &c.spans[b][k]
			if !whole && s.ratio < promising {
				continue
			}
			if !c.m.spend(int64(len(c.x)/2 + 1)) {
				return nil // the prices are not looked at with all runs
			}
			cost := float64(bed.LengthCost*s.low + bed.RunCost)
			worth := c.fill(bed, s.r)
			s.ratio = worth / cost
			worst = max(worst, s.ratio)
			if cost = float64(bed.LengthCost*s.r + bed.RunCost); worth > cost*(1+1e-7) {
				out = append(out, bedColumn{column{made: c.made(bed), cost: cost, ratio: worth / cost}, b})
			}
		}
	}
	if bound := total / worst; whole && bound > c.bound {
		c.bound = bound
		for i, p := range c.sep {
			c.best[i] = p / worst
		}
	}
	c.top = top
	slices.SortStableFunc(out, func(a, b bedColumn) int { return cmp.Compare(b.ratio, a.ratio) })
	return out[:min(len(out), mostEntered)]
}

// mostEntered is how many columns enter before prices are looked at again.
const mostEntered = 60

// fill returns what the best run of the bed and length is worth, or a little
// more where lanes differ in width.
func (c *cover) fill(bed *Bed, r int64) float64 {
	c.items = c.items[:0]
	for i, p := range c.sep {
		o := bed.Offers[i]
		if p <= 0 || o.Demand == 0 {
			continue
		}
		copies := int64(c.copies[i])
		full := min(o.Demand/r, bed.Capacity/o.Width)
		if full > 0 {
			part := float64(r) / float64(o.Demand)
			c.items = append(c.items, coverItem{i, full * min(copies, bed.Capacity), part, p * part, p * part / float64(o.Width)})
		}
		if rest := o.Demand - full*r; rest > 0 && (full+1)*o.Width <= bed.Capacity {
			part := float64(min(rest, r)) / float64(o.Demand)
			c.items = append(c.items, coverItem{i, min(copies, bed.Capacity), part, p * part, p * part / float64(o.Width)})
		}
	}
	slices.SortFunc(c.items, func(a, b coverItem) int { return cmp.Or(cmp.Compare(b.each, a.each), cmp.Compare(a.i, b.i)) })
	left, worth := bed.Capacity, 0.0
	for _, it := range c.items {
		w := bed.Offers[it.i].Width
		if lanes := left / w; lanes < it.lanes {
			return worth + float64(left)*it.each
		}
		left -= it.lanes * w
		worth += float64(it.lanes) * it.value
	}
	return worth
}

// made returns what the run found last makes of each class, in whole lanes.
func (c *cover) made(bed *Bed) []float64 {
	made := make([]float64, len(c.x))
	left := bed.Capacity
	for _, it := range c.items {
		w := bed.Offers[it.i].Width
		lanes := min(it.lanes, left/w)
		left -= lanes * w
		made[it.i] += float64(lanes) * it.part
	}
	return made
}
