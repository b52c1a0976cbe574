package choose

import (
	"cmp"
	"slices"
)

// Limits of the runs that an LP keeps.
const (
	mostKept = 3000
	passes   = 12    // over all, before runs are looked for
	unlikely = 0.85  // worth by cost below which a run is forgotten where they are too many
	handed   = 0.985 // and below which it is not handed on to another LP
)

// pool is the runs that an LP knows. Those that have left its basis often come back,
// and to look through them takes less than to find them again.
type pool struct {
	runs []kept
	seen map[uint64]bool
	pays []int
}

// kept is a run with its column.
type kept struct {
	cast
	cost  float64
	rows  []int32
	made  []float64
	ratio float64 // worth by cost when it was last looked at
}

// key tells runs apart, as good as surely.
func (c *cast) key() uint64 {
	h := uint64(14695981039346656037) // FNV-1a, word by word
	add := func(v uint64) { h = (h ^ v) * 1099511628211; h ^= h >> 29 }
	add(uint64(c.grade))
	add(uint64(c.r))
	for _, p := range c.parts {
		add(uint64(p.at)<<32 | uint64(p.lanes))
	}
	return h
}

// know adds a run to those known.
func (m *master) know(c *cast) {
	key := c.key()
	if m.seen == nil {
		m.seen = map[uint64]bool{}
	}
	if m.seen[key] {
		return
	}
	m.seen[key] = true
	m.state(c)
	x := kept{cast: *c, cost: m.t.cost(c), ratio: 1}
	n := 0
	for _, v := range m.row {
		if v != 0 {
			n++
		}
	}
	x.rows, x.made = make([]int32, 0, n), make([]float64, 0, n)
	for i, v := range m.row {
		if v != 0 {
			x.rows, x.made = append(x.rows, int32(i)), append(x.made, v)
		}
	}
	m.runs = append(m.runs, x)
}

// worth is what a run is worth at the prices of a basis.
func (x *kept) worth(price []float64) (sum float64) {
	for k, i := range x.rows {
		sum += x.made[k] * price[i]
	}
	return sum
}

// to states the column of a run.
func (x *kept) to(row []float64) {
	clear(row)
	for k, r := range x.rows {
		row[r] = x.made[k]
	}
}

// enter brings a run into the basis where it pays, and reports whether it did.
func (m *master) enter(x *kept) bool {
	if x.worth(m.price) <= x.cost*(1+1e-9) {
		return false
	}
	x.to(m.row)
	return m.pivot(x.cast, x.cost, -1)
}

// reprice brings runs that are known and pay into the basis until none pays, and
// reports whether one did.
func (m *master) reprice() (entered bool) {
	for range passes {
		m.pays = m.pays[:0]
		for i := range m.runs {
			x := &m.runs[i]
			if x.ratio = x.worth(m.price) / x.cost; x.ratio > 1+1e-9 {
				m.pays = append(m.pays, i)
			}
		}
		m.work += int64(8 * len(m.runs))
		slices.SortStableFunc(m.pays, func(a, b int) int { return cmp.Compare(m.runs[b].ratio, m.runs[a].ratio) })
		again := false
		for _, i := range m.pays {
			again = m.enter(&m.runs[i]) || again
		}
		if again = m.spare() || again; !again {
			break
		}
		entered = true
	}
	if len(m.runs) > mostKept {
		m.forget()
	}
	return entered
}

// forget drops runs that are worth little.
func (p *pool) forget() {
	p.runs = slices.DeleteFunc(p.runs, func(x kept) bool {
		if x.ratio < unlikely {
			delete(p.seen, x.key())
		}
		return x.ratio < unlikely
	})
}

// known returns the runs that another LP may begin with, those of the basis first. Each
// is brought into its basis at first, so those that were worth little are left to be found
// again: at the same time that proved 0.05 per cent more.
func (m *master) known() []cast {
	out := m.basis()
	in := map[uint64]bool{}
	for i := range out {
		in[out[i].key()] = true
	}
	for i := range m.runs {
		if c := &m.runs[i].cast; m.runs[i].ratio >= handed && !in[c.key()] {
			out = append(out, *c)
		}
	}
	return out
}
