package choose

import (
	"math"
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
// a tenth of a run. Runs are generated when their price pays. At any moment the
// prices, scaled until no run beats them, prove a bound (P. C. Gilmore, R. E.
// Gomory, "A linear programming approach to the cutting-stock problem", Operations
// Research 9(6), 1961; A. A. Farley, "A note on bounding a class of linear
// programming problems", Operations Research 38(5), 1990).
type master struct {
	t     *task
	half  []int32 // row of the second kind, by order; -1: not asked for
	n     int     // rows
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
	work  int64    // in units of workPerStep

	row, dir []float64
	used     []int32
	filler
}

// workPerStep is how many units of the LP's work are a step of the search.
const workPerStep = 24

// relax states the LP. Rows of the second kind are those of the orders in halves;
// nil asks for all. Known runs are where it begins.
func (t *task) relax(known []cast, halves []bool) *master {
	m := &master{t: t, n: len(t.id)}
	for i := range t.id {
		m.half = append(m.half, -1)
		if halves == nil || halves[i] {
			m.half[i] = int32(m.n)
			m.n++
		}
	}
	n := m.n
	for _, v := range []*[]float64{&m.x, &m.cost, &m.price, &m.best, &m.sep, &m.row, &m.dir} {
		*v = make([]float64, n)
	}
	m.inv, m.col = make([]float64, n*n), make([]cast, n)
	for i := range t.id {
		// A little more is asked of each, of no two the same, so that no two columns
		// run out at once. The bound is that of the needs as they are.
		_, odd := math.Modf(float64(i+1) * math.Phi)
		m.inv[i*n+i], m.x[i] = 1, 1+1e-4*(0.1+odd)
		m.cost[i], m.col[i] = t.alone(i)
		if h := m.half[i]; h >= 0 { // the surplus of what is whole
			m.inv[int(h)*n+i], m.inv[int(h)*n+int(h)] = 1, -1
			m.x[h], m.col[h] = m.x[i]-1, cast{grade: spared}
		}
	}
	for k := range t.grades {
		m.spans = append(m.spans, t.turns(k))
	}
	for r := range n {
		for i, v := range m.inv[r*n : r*n+n] {
			m.price[i] += m.cost[r] * v
		}
	}
	for i := range known {
		m.enter(&known[i])
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
		v := m.t.made(c, p)
		m.row[p.at] = v
		if h := m.half[p.at]; h >= 0 && v > 0 {
			if m.row[h] = 1; v < 1 {
				m.row[h] = 0.5
			}
		}
	}
}

// enter brings a run into the basis where it pays, and reports whether it did.
func (m *master) enter(c *cast) bool {
	m.state(c)
	cost := m.t.cost(c)
	worth := 0.0
	for i, v := range m.row {
		worth += v * m.price[i]
	}
	return worth > cost*(1+1e-9) && m.pivot(*c, cost)
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
	leave, ratio := -1, math.Inf(1)
	for r, u := range m.dir {
		if u > 1e-9 {
			if q := m.x[r] / u; q < ratio {
				leave, ratio = r, q
			}
		}
	}
	if leave < 0 {
		return false
	}
	p := m.inv[leave*n : leave*n+n]
	m.used = m.used[:0]
	for i, v := range p {
		if v != 0 {
			p[i] = v / m.dir[leave]
			m.used = append(m.used, int32(i))
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
		row := m.inv[r*n : r*n+n]
		for _, i := range m.used {
			row[i] -= f * p[i]
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
