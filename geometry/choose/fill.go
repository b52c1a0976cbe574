package choose

import (
	"cmp"
	"math"
	"slices"
)

// filler finds the lanes of a run that are worth most at prices.
type filler struct {
	items  []item
	picks  []pick
	upper  []pick // an upper bound of those
	long   []int  // items that no lane makes whole
	single []float64
	table  []float64
	took   []int32
}

// item is an order that has a price on a grade.
type item struct {
	at          int32
	d           int64
	price, each float64 // of the whole and of a frame of a lane
	half        float64 // of a run that makes it whole
}

// pick is lanes of an order that are worth the same.
type pick struct {
	worth     float64
	at, lanes int32
}

// priced is a run that pays.
type priced struct {
	cast
	ratio float64
}

// list notes the orders of a grade that have a price.
func (m *master) list(k int) {
	m.items = m.items[:0]
	for i, d := range m.t.need[k] {
		if d == 0 {
			continue
		}
		p, h := m.sep[i], 0.0
		if m.half[i] >= 0 {
			h = m.sep[m.half[i]]
		}
		if p+h > 0 {
			m.items = append(m.items, item{int32(i), d, p, p / float64(d), h})
		}
	}
}

// generate looks for the run of each grade and length that is worth most, and
// returns those that pay, the best first.
func (m *master) generate(whole bool) (out []priced) {
	for k := range m.t.grades {
		g := &m.t.grades[k]
		if m.list(k); len(m.items) == 0 {
			continue
		}
		for s := range m.spans[k] {
			span := &m.spans[k][s]
			if !whole && span.ratio < promising {
				continue
			}
			cost := (g.a*float64(span.r) + g.b) * (1 + 1e-7)
			worth := m.fill(g, span.r, span.r, span.r, cost)
			if span.ratio = worth / cost; span.ratio > 1 {
				out = append(out, priced{m.found(k, span.r), span.ratio})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b priced) int { return cmp.Compare(b.ratio, a.ratio) })
	return m.spread(out)
}

// Of runs that pay, each order is in few that enter, since more of them say the same.
const mostAlike = 3

// spread returns runs of which few hold the same order.
func (m *master) spread(found []priced) []priced {
	in := make([]int32, len(m.t.id))
	return slices.DeleteFunc(found, func(f priced) bool {
		full := true
		for _, p := range f.parts {
			full = full && in[p.at] >= mostAlike
		}
		for _, p := range f.parts {
			in[p.at]++
		}
		return full
	})
}

// found returns the run of the picks.
func (m *master) found(k int, r int64) cast {
	c := cast{grade: k, r: r}
	for _, p := range m.picks {
		c.parts = append(c.parts, part{p.at, p.lanes})
	}
	slices.SortFunc(c.parts, func(a, b part) int { return int(a.at - b.at) })
	n := 0
	for i, p := range c.parts {
		if i > 0 && c.parts[n-1].at == p.at {
			c.parts[n-1].lanes += p.lanes
			continue
		}
		c.parts[n] = p
		n++
	}
	c.parts = c.parts[:n]
	return c
}

// worst returns by how much a run is worth more than it costs at most; it stops
// where that is known to be above enough. Runs that pay and that it comes by are
// added to those found.
func (m *master) worst(enough float64) float64 {
	w := worstRun{m: m, ratio: 1}
	for k := range m.t.grades {
		w.k, w.g = k, &m.t.grades[k]
		if m.list(k); len(m.items) == 0 {
			continue
		}
		for s := range m.spans[k] {
			span := &m.spans[k][s]
			if w.ratio > enough {
				return w.ratio
			}
			w.between(span.before, span.low-1)
			w.between(span.low, span.r)
		}
	}
	return w.ratio
}

// worstRun looks for the run that is worth most for its cost.
type worstRun struct {
	m     *master
	k     int
	g     *grade
	ratio float64
}

// between looks at all lengths from low to high. What lanes cost beside their run
// rises and falls with its length, so the least of all lengths stands for them, and
// the lengths are halved until that is near enough.
func (w *worstRun) between(low, high int64) {
	if low > high {
		return
	}
	at := func(r int64) float64 {
		cost := w.g.a*float64(r) + w.g.b
		if r > low && r < high {
			return 0
		}
		return w.m.fill(w.g, r, low, high, w.ratio*cost) / cost
	}
	ratio := at(high)
	if low == high {
		if w.ratio = math.Max(w.ratio, ratio); ratio > 1+1e-7 && ratio >= w.ratio {
			w.m.extra = append(w.m.extra, priced{w.m.found(w.k, high), ratio})
		}
		return
	}
	ratio = math.Max(ratio, at(low))
	if ratio <= w.ratio*(1+nearRatio) {
		w.ratio = math.Max(w.ratio, ratio)
		return
	}
	mid := low + (high-low)/2
	w.between(low, mid)
	w.between(mid+1, high)
}

// nearRatio is how near is near enough.
const nearRatio = 2e-4

// fill finds the lanes of a run of length r that are worth most beside what they
// cost at least at lengths from low to high, into picks. Where that is not above
// enough it may return a little more than they are worth, and picks say nothing.
//
// An order that a lane makes whole is worth the same whatever else is in the run,
// so of those the best are taken. One that takes more lanes is worth more when it
// is whole, which makes all of those a knapsack of the few lanes of a run.
func (m *master) fill(g *grade, r, low, high int64, enough float64) float64 {
	m.work += int64(len(m.items))
	m.picks, m.long, m.upper = m.picks[:0], m.long[:0], m.upper[:0]
	room, worst := g.capacity, 0.0 // lanes left, and the least pick where none is
	for x := range m.items {
		it := &m.items[x]
		if it.d > r {
			m.long = append(m.long, x)
			continue
		}
		if v := it.price + it.half; room > 0 || v > worst {
			v -= m.t.lanes(g, int(it.at), low, high)
			m.picks, room, worst = put(m.picks, pick{v, it.at, 1}, room, worst)
		}
	}
	if len(m.long) == 0 {
		return sum(m.picks)
	}
	// What each lane of a long order is worth at most, and all lanes together.
	m.upper = append(m.upper, m.picks...)
	top, topWorst := room, worst
	keep := m.long[:0]
	for _, x := range m.long {
		it := &m.items[x]
		v := it.each*float64(r) + it.half/2
		if room == 0 && v <= worst {
			continue
		}
		if n := (it.d + r - 1) / r; n <= g.capacity {
			v = math.Max(v, (it.price+it.half)/float64(n))
		}
		if v -= m.t.lanes(g, int(it.at), low, high); room == 0 && v <= worst {
			continue
		}
		keep = append(keep, x)
		m.upper, top, topWorst = put(m.upper, pick{v, it.at, int32(min(g.capacity, (it.d+r-1)/r))}, top, topWorst)
	}
	if m.long = keep; len(keep) == 0 {
		return sum(m.picks)
	}
	if v := sum(m.upper); v <= enough {
		return v
	}
	return m.knapsack(g, r, low, high)
}

func sum(list []pick) (sum float64) {
	for _, p := range list {
		sum += p.worth * float64(p.lanes)
	}
	return sum
}

// put brings lanes in among picks, which fall in worth, and drops those for which
// there is no room. It returns them, the room left and the least worth where none is.
func put(list []pick, p pick, room int64, worst float64) ([]pick, int64, float64) {
	if p.worth <= 0 || room == 0 && p.worth <= worst {
		return list, room, worst
	}
	at := len(list)
	list = append(list, p)
	for ; at > 0 && list[at-1].worth < p.worth; at-- {
		list[at] = list[at-1]
	}
	list[at] = p
	room -= int64(p.lanes)
	for room < 0 {
		last := &list[len(list)-1]
		cut := min(int64(last.lanes), -room)
		room += cut
		if last.lanes -= int32(cut); last.lanes == 0 {
			list = list[:len(list)-1]
		}
	}
	if room == 0 {
		worst = list[len(list)-1].worth
	}
	return list, room, worst
}

// knapsack shares the lanes out between the picks and the long orders.
func (m *master) knapsack(g *grade, r, low, high int64) float64 {
	lanes := int(g.capacity)
	m.single = append(m.single[:0], 0) // what so many picks are worth
	for i := range lanes {
		v := m.single[i]
		if i < len(m.picks) {
			v += m.picks[i].worth
		}
		m.single = append(m.single, v)
	}
	size := (len(m.long) + 1) * (lanes + 1)
	if len(m.table) < size {
		m.table, m.took = make([]float64, size), make([]int32, size)
	}
	clear(m.table[:lanes+1])
	m.work += int64(len(m.long) * lanes * 2)
	for y, x := range m.long {
		it := &m.items[x]
		cost := m.t.lanes(g, int(it.at), low, high)
		before, now := m.table[y*(lanes+1):(y+1)*(lanes+1)], m.table[(y+1)*(lanes+1):(y+2)*(lanes+1)]
		took := m.took[(y+1)*(lanes+1) : (y+2)*(lanes+1)]
		copy(now, before)
		clear(took)
		for p := 1; p <= min(lanes, int((it.d+r-1)/r)); p++ {
			v := it.each*float64(r)*float64(p) + it.half/2
			if int64(p)*r >= it.d {
				v = it.price + it.half
			}
			v -= cost * float64(p)
			for j := p; j <= lanes; j++ {
				if w := before[j-p] + v; w > now[j] {
					now[j], took[j] = w, int32(p)
				}
			}
		}
	}
	last := m.table[len(m.long)*(lanes+1):]
	best, at := m.single[lanes], 0
	for j := range lanes + 1 {
		if v := last[j] + m.single[lanes-j]; v > best {
			best, at = v, j
		}
	}
	m.picks = m.picks[:min(len(m.picks), lanes-at)]
	for y := len(m.long); y > 0 && at > 0; y-- {
		if p := m.took[y*(lanes+1)+at]; p > 0 {
			m.picks = append(m.picks, pick{0, m.items[m.long[y-1]].at, p})
			at -= int(p)
		}
	}
	return best
}
