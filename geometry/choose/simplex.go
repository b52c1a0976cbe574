package choose

import "math"

// simplex is the solution of an LP by the revised simplex method: columns of runs and of
// what is made beyond the need of a row, and the inverse of their matrix.
type simplex struct {
	n       int       // rows
	inv     []float64 // by row of the LP, of each a number for each column
	x, cost []float64 // by column
	col     []cast
	surplus []int     // the row that the column is the surplus of; -1: none
	price   []float64 // by row
	work    int64     // in units of workPerStep

	row, dir []float64 // of the column that enters: what it holds, and takes of the others
}

func newSimplex(n int) simplex {
	s := simplex{n: n, inv: make([]float64, n*n), col: make([]cast, n), surplus: make([]int, n)}
	for _, v := range []*[]float64{&s.x, &s.cost, &s.price, &s.row, &s.dir} {
		*v = make([]float64, n)
	}
	return s
}

// setPrices works out the prices of the columns.
func (s *simplex) setPrices() {
	for i := range s.n {
		s.price[i] = 0
		for k, v := range s.inv[i*s.n : (i+1)*s.n] {
			s.price[i] += s.cost[k] * v
		}
	}
}

// pivot brings the column that row holds into the basis: a run, or the surplus of a row.
func (s *simplex) pivot(c cast, cost float64, surplus int) bool {
	s.direct()
	leave := leaving(s.x, s.dir)
	if leave < 0 {
		return false
	}
	s.exchange(leave, c, cost, surplus)
	for k, v := range s.x {
		s.x[k] = math.Max(0, v)
	}
	return true
}

// direct sets dir to what the column that row holds takes of those of the basis.
func (s *simplex) direct() {
	clear(s.dir)
	for i, a := range s.row {
		if a == 0 {
			continue
		}
		for k, v := range s.inv[i*s.n : (i+1)*s.n] {
			s.dir[k] += v * a
		}
	}
}

// exchange puts the column that row holds in the place of another.
func (s *simplex) exchange(leave int, c cast, cost float64, surplus int) {
	reduced := cost
	for i, a := range s.row {
		if a != 0 {
			reduced -= s.price[i] * a
		}
	}
	takes := s.dir[leave]
	ratio := s.x[leave] / takes
	columns, rows := 0, 0
	for k, f := range s.dir {
		if math.Abs(f) < 1e-12 {
			s.dir[k] = 0
			continue
		}
		columns++
		s.x[k] -= f * ratio
	}
	s.dir[leave] = 0
	for i := range s.n {
		of := s.inv[i*s.n : (i+1)*s.n]
		if of[leave] == 0 {
			continue
		}
		rows++
		v := of[leave] / takes
		of[leave] = v
		s.price[i] += reduced * v
		dir := s.dir[:len(of)]
		for k := range of {
			of[k] -= dir[k] * v
		}
	}
	s.work += int64(rows*columns + 8*s.n)
	s.x[leave], s.cost[leave], s.col[leave], s.surplus[leave] = ratio, cost, c, surplus
}

// leaving returns the column that leaves the basis for one of a direction: of those that
// run out at about the first, the one that the new column takes most of, so that none of
// the numbers grow without end (P. M. J. Harris, "Pivot selection methods of the Devex LP
// code", Mathematical Programming 5, 1973). -1: none runs out.
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
func (s *simplex) spare() (entered bool) {
	for range 2 * s.n {
		least, at := -1e-6, -1
		for i, p := range s.price {
			if p < least {
				least, at = p, i
			}
		}
		if at < 0 {
			break
		}
		clear(s.row)
		if s.row[at] = -1; !s.pivot(cast{grade: spared}, 0, at) {
			break
		}
		entered = true
	}
	return entered
}

// value is what the basis costs: no LP of more runs costs more.
func (s *simplex) value() (v float64) {
	for k, x := range s.x {
		v += x * s.cost[k]
	}
	return v
}

// basis returns the runs of the basis.
func (s *simplex) basis() (out []cast) {
	for k, x := range s.x {
		if x > 1e-9 && s.col[k].grade != spared {
			out = append(out, s.col[k])
		}
	}
	return out
}
