package choose

import "slices"

// next states the LP of a task of the same orders that has other grades, more rules on the
// number of runs or other cuts, and begins where this one ended: to bring all known runs in
// one by one again took half of the work of all cases. Where the basis can't be had, it
// begins so nevertheless.
func (m *master) next(t *task, cuts [][]cut) *master {
	known := t.regraded(m.known(), m.t)
	s := succession{from: m, to: newMaster(t, m.needed(cuts))}
	if !s.takeOver() {
		return t.relax(known, cuts)
	}
	for i := range known {
		s.to.know(&known[i])
	}
	if !s.to.mend() {
		return t.relax(known, cuts)
	}
	s.to.reprice()
	return s.to
}

// needed returns cuts with those of the LP whose surplus is not in its basis, which can't do
// without them.
func (m *master) needed(cuts [][]cut) [][]cut {
	out := make([][]cut, len(cuts))
	for i := range cuts {
		out[i] = slices.Clone(cuts[i])
		for _, c := range m.cuts[i] {
			if !slices.Contains(m.surplus, c.row) && !slices.ContainsFunc(cuts[i], c.is) {
				out[i] = append(out[i], c)
			}
		}
	}
	return out
}

// succession is how the basis of an LP becomes that of another. With the surplus of a row
// in it, both can be left out, and a new row comes with its own: the inverse of the others
// stays what it is.
type succession struct {
	from, to *master
	rows     []int // of the one, by row of the other; -1: new
	columns  []int // of the basis of the one, by column of the other; those of new rows come last
}

// takeOver sets the basis of the other; false where it can't.
func (s *succession) takeOver() bool {
	s.match()
	m, x := s.from, s.to
	var fresh []int
	for i, row := range s.rows {
		if row < 0 {
			fresh = append(fresh, i)
			continue
		}
		of := m.inv[row*m.n : (row+1)*m.n]
		for k, c := range s.columns {
			x.inv[i*x.n+k] = of[c]
		}
	}
	banned := s.columnsOver()
	if banned && len(fresh) > 0 || len(s.columns)+len(fresh) != x.n {
		return false
	}
	s.add(fresh)
	x.setPrices()
	return true
}

// match finds the rows and the columns of the one that the other takes over.
func (s *succession) match() {
	m, x := s.from, s.to
	s.rows = slices.Repeat([]int{-1}, x.n)
	taken := make([]int, m.n) // by row: 1 and where it is in the other
	for i := range x.t.id {
		s.rows[i] = i
		for _, c := range x.cuts[i] {
			if at := slices.IndexFunc(m.cuts[i], c.is); at >= 0 {
				s.rows[c.row] = m.cuts[i][at].row
			}
		}
	}
	for c := range m.t.counts { // the other begins with them
		s.rows[x.count+c] = m.count + c
	}
	for i, row := range s.rows {
		if row >= 0 {
			taken[row] = 1 + i
		}
	}
	for c, row := range m.surplus {
		if row < 0 || taken[row] > 0 {
			x.surplus[len(s.columns)] = -1
			if row >= 0 {
				x.surplus[len(s.columns)] = taken[row] - 1
			}
			s.columns = append(s.columns, c)
		}
	}
}

// columnsOver states the columns that are taken over, and reports whether some are of a
// grade that the other hasn't: those get a price that keeps them out.
func (s *succession) columnsOver() (banned bool) {
	m, x := s.from, s.to
	for k, c := range s.columns {
		x.x[k], x.cost[k], x.col[k] = m.x[c], m.cost[c], m.col[c]
		if m.col[c].grade == spared {
			continue
		}
		if list := x.t.regraded(m.col[c:c+1], m.t); len(list) > 0 {
			x.col[k] = list[0]
			continue
		}
		x.col[k], x.cost[k], banned = cast{grade: spared}, dear*m.cost[c], true
	}
	return banned
}

// add brings the surpluses of new rows into the basis: below 0, where a row falls short.
func (s *succession) add(fresh []int) {
	x, first := s.to, len(s.columns)
	for j, row := range fresh {
		x.surplus[first+j], x.col[first+j], x.x[first+j] = row, cast{grade: spared}, -x.needs[row]
		x.inv[row*x.n+first+j] = -1
	}
	for k := range s.columns {
		if x.col[k].grade == spared {
			continue
		}
		x.state(&x.col[k])
		for j, row := range fresh {
			a := x.row[row]
			if a == 0 {
				continue
			}
			x.x[first+j] += a * x.x[k]
			for i := range x.n {
				x.inv[i*x.n+first+j] += a * x.inv[i*x.n+k]
			}
		}
	}
}
