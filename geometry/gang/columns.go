package gang

import (
	"cmp"
	"math"
	"slices"
)

// columns bounds the total cost by the covering LP over all possible runs:
//
//	min sum of cost_c * x_c  with  sum of min(p_ci*R_c, d_i) * x_c >= d_i
//
// A plan is a solution with whole x; what a run makes beyond the demand does
// not count, so the LP sees overs that the volume does not. Runs are generated
// when their price pays, and at any moment the prices, scaled until no run
// beats them, prove a bound (P. C. Gilmore, R. E. Gomory, "A linear
// programming approach to the cutting-stock problem", Operations Research
// 9(6), 1961; A. A. Farley, "A note on bounding a class of linear programming
// problems", Operations Research 38(5), 1990).
type columns struct {
	basis
	c       *core
	m       *meter
	lane    [][]int64 // lanes of the columns of the basis
	lengths []int64   // run lengths among which the best one is
	fill    *filler
	bound   float64
}

// column is a possible run.
type column struct {
	made  []float64
	lane  []int64
	cost  float64
	ratio float64 // value by cost
}

// worth returns what a column makes at prices.
func (col *column) worth(price []float64) float64 {
	value := 0.0
	for i, v := range col.made {
		value += price[i] * v
	}
	return value
}

func newColumns(c *core, m *meter) *columns {
	n := len(c.need)
	k := &columns{
		basis: newBasis(n), c: c, m: m, lane: make([][]int64, n),
	}
	// Every order alone is a basis: a column that makes all of its demand.
	for i := range c.need {
		n := &c.need[i]
		k.inv[i] = make([]float64, len(c.need))
		k.inv[i][i] = 1 / float64(n.d)
		k.x[i] = 1
		k.lane[i] = make([]int64, len(c.need))
		k.lane[i][i] = c.cap / n.w
		k.cost[i] = float64(c.a*max(c.least, ceilDiv(n.d, c.cap/n.w)) + c.b)
	}
	k.setPrices()
	k.lengths = c.turningLengths(nil)
	k.fill = newFiller(c)
	return k
}

// solve generates columns until none pays or the meter stops, and returns the
// total cost that no plan undercuts. It may be called again to go on.
func (k *columns) solve() int64 {
	for {
		best := k.generate()
		if len(best) == 0 || k.m.done() {
			return int64(math.Ceil(k.bound * (1 - 1e-9)))
		}
		entered := false
		for _, col := range best {
			if col.worth(k.price) > col.cost*(1+1e-9) && !k.m.done() && k.take(col) {
				entered = true
			}
		}
		if !entered {
			return int64(math.Ceil(k.bound * (1 - 1e-9)))
		}
	}
}

// generate finds the best column of each length, raises the bound, and gives
// the columns that pay, the best first.
func (k *columns) generate() []column {
	total := 0.0
	for i, p := range k.price {
		k.price[i] = max(0, p)
		total += k.price[i] * float64(k.c.need[i].d)
	}
	worst := 1.0
	var best []column
	for _, r := range k.lengths {
		if !k.m.spend(k.fill.steps()) {
			return nil
		}
		cost := float64(k.c.a*r + k.c.b)
		worth := k.fill.best(r, k.price, k.c.need)
		worst = max(worst, worth/cost)
		if worth > cost*(1+1e-7) {
			col := column{cost: cost, ratio: worth / cost, made: make([]float64, len(k.price))}
			col.lane = slices.Clone(k.fill.lanes())
			for i, p := range col.lane {
				col.made[i] = float64(min(p*r, k.c.need[i].d))
			}
			best = append(best, col)
		}
	}
	k.bound = max(k.bound, total/worst)
	slices.SortStableFunc(best, func(a, b column) int { return cmp.Compare(b.ratio, a.ratio) })
	return best
}

// take brings a column into the basis.
func (k *columns) take(col column) bool {
	at, ok := k.enter(col.made, col.cost)
	if ok {
		n := len(k.x)
		k.m.spend(int64(n*n/30 + 1))
		k.lane[at] = col.lane
	}
	return ok
}

// round gives the lanes of the basis their best whole lengths: the plan that
// the LP suggests where set-ups cost little. It returns nil when there are too
// many lanes for that, or the steps are too few.
func (k *columns) round(m *meter) []run {
	var used []int
	for r, x := range k.x {
		if x > 1e-6 {
			used = append(used, r)
		}
	}
	if len(used) > mostRounded || len(used) > k.c.runs {
		return nil
	}
	lane := make([][]int64, len(k.price))
	for i := range lane {
		for _, r := range used {
			lane[i] = append(lane[i], k.lane[r][i])
		}
	}
	s := newLengthSearch(k.c, len(used), m)
	if math.IsInf(s.relax(lane, math.Inf(1)), 1) {
		return nil
	}
	var runs []run
	m.part((m.limit-m.used)/2, func() {
		if r := s.least(none); r != nil {
			runs = k.c.runsOf(lane, r)
		}
	})
	return runs
}

// mostRounded is the greatest number of runs whose whole lengths are searched
// together.
const mostRounded = 40
