package choose

import (
	"math"
	"slices"
)

// master is the covering LP of a task,
//
//	min sum of cost_c * x_c  with  sum of made_ci * x_c >= 1 for each order i,
//
// over all runs c of all grades. What a run makes beyond the need does not count.
// An order that no run makes whole stands in two at least, so beside that
//
//	sum of x_c over runs that make i whole + 1/2 * those that make a part >= 1
//
// which the first rows alone don't know: they would have a tenth of an order from
// a tenth of a run. Rows of other parts are added where the LP breaks them (cuts.go).
// Runs are generated when their price pays. At any moment the prices, scaled until no
// run beats them, prove a bound (P. C. Gilmore, R. E. Gomory, "A linear programming
// approach to the cutting-stock problem", Operations Research 9(6), 1961; A. A. Farley, "A
// note on bounding a class of linear programming problems", Operations Research 38(5), 1990).
type master struct {
	t     *task
	cuts  [][]cut   // rows of the second kind, by order
	count int       // first row of the rules on the number of runs
	needs []float64 // by row: copies of the order, or runs, negative where they are so many at most
	bound float64
	best  []float64 // the prices that prove it
	sep   []float64 // the prices at which runs are looked for
	last  []float64 // and at which they were looked for before
	spans [][]turn
	rises []float64 // by grade: by how much a run may be worth more than at the first prices
	extra []priced  // runs that pay, come by in proving
	simplex
	pool
	filler
}

// dear is how much more than a run of its own an order costs that no run prints.
const dear = 20

// workPerStep is how many units of the LP's work are a step of the search.
const workPerStep = 24

// relax states the LP, with a run for each order to begin with, and brings known runs in.
// Rows of the second kind are the cuts of each order; nil asks for those in halves of all.
func (t *task) relax(known []cast, cuts [][]cut) *master {
	if cuts == nil {
		cuts = slices.Repeat([][]cut{{roundedUp(1)}}, len(t.id))
	}
	m := newMaster(t, cuts)
	n := m.n
	for i := range t.id {
		// A little more is asked of each, of no two the same, so that no two columns
		// run out at once. The bound is that of the needs as they are.
		_, odd := math.Modf(float64(i+1) * math.Phi)
		m.inv[i*n+i], m.x[i], m.surplus[i] = 1, float64(t.copy(i))*(1+1e-4*(0.1+odd)), -1
		m.cost[i], m.col[i] = t.alone(i)
		if len(t.counts) > 0 { // no run, at a price that keeps it out
			m.cost[i], m.col[i] = dear*m.cost[i], cast{grade: spared}
		}
		for _, c := range m.cuts[i] { // the surplus of what is whole
			m.inv[i*n+c.row], m.inv[c.row*n+c.row] = 1, -1
			m.x[c.row], m.col[c.row], m.surplus[c.row] = m.x[i]-float64(t.copy(i)), cast{grade: spared}, c.row
		}
	}
	for c, rule := range t.counts {
		r := m.count + c
		m.x[r], m.col[r] = rule.n, cast{grade: spared}
		if m.inv[r*n+r], m.surplus[r] = 1, -1; rule.most {
			m.inv[r*n+r], m.surplus[r] = -1, r
		} else {
			m.cost[r] = dear * slices.Max(m.cost[:len(t.id)])
		}
	}
	m.setPrices()
	for i := range known {
		m.know(&known[i])
	}
	for i := range m.runs { // in this order, since at first all pay
		m.enter(&m.runs[i])
	}
	m.reprice()
	return m
}

// newMaster states the rows of the LP of a task, without a solution.
func newMaster(t *task, cuts [][]cut) *master {
	m, n := &master{t: t, cuts: make([][]cut, len(t.id))}, len(t.id)
	for i := range t.id {
		for _, c := range cuts[i] {
			c.row = n
			m.cuts[i] = append(m.cuts[i], c)
			n++
		}
	}
	m.count = n
	n += len(t.counts)
	m.simplex = newSimplex(n)
	for _, v := range []*[]float64{&m.needs, &m.best, &m.sep, &m.last} {
		*v = make([]float64, n)
	}
	for i, cuts := range m.cuts {
		m.needs[i] = float64(t.copy(i))
		for _, c := range cuts {
			m.needs[c.row] = m.needs[i]
		}
	}
	for c, rule := range t.counts {
		if m.needs[m.count+c] = rule.n; rule.most {
			m.needs[m.count+c] = -rule.n
		}
	}
	m.filler = newFiller(t)
	m.rises = make([]float64, len(t.grades))
	for k := range t.grades {
		m.spans = append(m.spans, m.turns(k))
	}
	return m
}

// alone returns the cheapest run that makes an order whole, and its cost.
func (t *task) alone(i int) (float64, cast) {
	best, at := math.Inf(1), cast{grade: spared}
	for k := range t.grades {
		d, g := t.need[k][i], &t.grades[k]
		if d == 0 {
			continue
		}
		c := cast{grade: k, r: max(g.least, (d+g.capacity-1)/g.capacity)}
		c.parts = []part{{int32(i), int32((d + c.r - 1) / c.r)}}
		if v := t.cost(&c); v < best {
			best, at = v, c
		}
	}
	return best, at
}

// state sets row to what a run makes.
func (m *master) state(c *cast) {
	clear(m.row)
	for _, p := range c.parts {
		m.row[p.at] += m.t.made(c, p)
		for _, x := range m.cuts[p.at] {
			m.row[x.row] += x.of(int64(p.lanes)*c.r, m.t.need[c.grade][p.at])
		}
	}
	for x := range m.t.counts {
		if m.t.counts[x].holds(c.grade, c.r) {
			m.row[m.count+x] = math.Copysign(1, m.needs[m.count+x])
		}
	}
}

// bonus is what a run of a grade and length is worth by its number alone.
func (m *master) bonus(grade int, r int64) (sum float64) {
	for x := range m.t.counts {
		if m.t.counts[x].holds(grade, r) {
			sum += math.Copysign(m.sep[m.count+x], m.needs[m.count+x])
		}
	}
	return sum
}
