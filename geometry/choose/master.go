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
	n     int       // rows
	inv   []float64
	x     []float64
	cost  []float64
	col   []cast // of the basis
	price []float64
	bound float64
	best  []float64 // the prices that prove it
	sep   []float64 // the prices at which runs are looked for
	spans [][]turn
	extra []priced // runs that pay, come by in proving
	pool
	work int64 // in units of workPerStep

	row, dir []float64
	used     []int32   // columns of the leaving row that are not 0,
	values   []float64 // and what they hold
	filler
}

// dear is how much more than a run of its own an order costs that no run prints.
const dear = 20

// workPerStep is how many units of the LP's work are a step of the search.
const workPerStep = 24

// relax states the LP. Rows of the second kind are the cuts of each order; nil asks for
// those in halves of all. Known runs are where it begins.
func (t *task) relax(known []cast, cuts [][]cut) *master {
	m := &master{t: t, n: len(t.id), cuts: make([][]cut, len(t.id))}
	for i := range t.id {
		of := []cut{roundedUp(1)}
		if cuts != nil {
			of = cuts[i]
		}
		for _, c := range of {
			c.row = m.n
			m.cuts[i] = append(m.cuts[i], c)
			m.n++
		}
	}
	m.count = m.n
	m.n += len(t.counts)
	n := m.n
	for _, v := range []*[]float64{&m.needs, &m.x, &m.cost, &m.price, &m.best, &m.sep, &m.row, &m.dir} {
		*v = make([]float64, n)
	}
	m.inv, m.col = make([]float64, n*n), make([]cast, n)
	for i := range t.id {
		// A little more is asked of each, of no two the same, so that no two columns
		// run out at once. The bound is that of the needs as they are.
		_, odd := math.Modf(float64(i+1) * math.Phi)
		m.inv[i*n+i], m.x[i] = 1, float64(t.copy(i))*(1+1e-4*(0.1+odd))
		m.cost[i], m.col[i] = t.alone(i)
		if len(t.counts) > 0 { // no run, at a price that keeps it out
			m.cost[i], m.col[i] = dear*m.cost[i], cast{grade: spared}
		}
		for _, c := range m.cuts[i] { // the surplus of what is whole
			m.inv[c.row*n+i], m.inv[c.row*n+c.row] = 1, -1
			m.x[c.row], m.col[c.row] = m.x[i]-float64(t.copy(i)), cast{grade: spared}
		}
	}
	for i, cuts := range m.cuts {
		m.needs[i] = float64(t.copy(i))
		for _, c := range cuts {
			m.needs[c.row] = m.needs[i]
		}
	}
	for c := range t.counts {
		r := m.count + c
		m.needs[r], m.x[r], m.col[r] = t.counts[c].n, t.counts[c].n, cast{grade: spared}
		if m.inv[r*n+r] = 1; t.counts[c].most {
			m.needs[r], m.inv[r*n+r] = -t.counts[c].n, -1
		} else {
			m.cost[r] = dear * slices.Max(m.cost[:len(t.id)])
		}
	}
	for k := range t.grades {
		m.spans = append(m.spans, m.turns(k))
	}
	for r := range n {
		for i, v := range m.inv[r*n : r*n+n] {
			m.price[i] += m.cost[r] * v
		}
	}
	for i := range known {
		m.know(&known[i])
	}
	for i := range m.runs { // in this order, since at first all pay
		m.enter(&m.runs[i])
	}
	m.reprice()
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

// pivot brings the column that row holds into the basis.
func (m *master) pivot(c cast, cost float64) bool {
	n := m.n
	clear(m.dir)
	for i, a := range m.row {
		if a == 0 {
			continue
		}
		for r := range n {
			m.dir[r] += m.inv[r*n+i] * a
		}
	}
	leave := leaving(m.x, m.dir)
	if leave < 0 {
		return false
	}
	ratio := m.x[leave] / m.dir[leave]
	p := m.inv[leave*n : leave*n+n]
	m.used, m.values = m.used[:0], m.values[:0]
	for i, v := range p {
		if v != 0 {
			p[i] = v / m.dir[leave]
			m.used, m.values = append(m.used, int32(i)), append(m.values, p[i])
		}
	}
	reduced := cost
	for i, a := range m.row {
		reduced -= m.price[i] * a
	}
	rows := 0
	for r := range n {
		f := m.dir[r]
		if r == leave || math.Abs(f) < 1e-12 {
			continue
		}
		rows++
		row, values := m.inv[r*n:r*n+n], m.values[:len(m.used)]
		for k, i := range m.used {
			row[i] -= f * values[k]
		}
		m.x[r] = math.Max(0, m.x[r]-f*ratio)
	}
	for _, i := range m.used {
		m.price[i] += reduced * p[i]
	}
	m.x[leave], m.cost[leave], m.col[leave] = ratio, cost, c
	m.work += int64(rows*len(m.used) + 8*n)
	return true
}

// leaving returns the row of the column that leaves the basis for one of a direction: of
// those that run out at about the first, the one that the new column takes most of, so that
// none of the numbers grow without end (P. M. J. Harris, "Pivot selection methods of the
// Devex LP code", Mathematical Programming 5, 1973). -1: none runs out.
func leaving(x, dir []float64) int {
	const about = 1e-9
	leave, first := -1, math.Inf(1)
	for r, u := range dir {
		if u > about && x[r]+about < first*u {
			first = (x[r] + about) / u
		}
	}
	for r, u := range dir {
		if u > about && x[r] <= first*u && (leave < 0 || u > dir[leave]) {
			leave = r
		}
	}
	return leave
}

// spare lets more be made than is needed where that has a price below 0, and
// reports whether it did.
func (m *master) spare() (entered bool) {
	for range 2 * m.n {
		least, at := -1e-6, -1
		for i, p := range m.price {
			if p < least {
				least, at = p, i
			}
		}
		if at < 0 {
			break
		}
		clear(m.row)
		if m.row[at] = -1; !m.pivot(cast{grade: spared}, 0) {
			break
		}
		entered = true
	}
	return entered
}

// value is what the basis costs: no LP of more runs costs more.
func (m *master) value() (v float64) {
	for r, x := range m.x {
		v += x * m.cost[r]
	}
	return v
}

// basis returns the runs of the basis.
func (m *master) basis() (out []cast) {
	for r, x := range m.x {
		if x > 1e-9 && m.col[r].grade != spared {
			out = append(out, m.col[r])
		}
	}
	return out
}
