package choose

import (
	"cmp"
	"math"
	"slices"
)

// filler finds the lanes of a run that are worth most at prices.
type filler struct {
	items     []item
	cutPrices []cutPrice
	picks     []pick
	upper     []pick    // an upper bound of those
	long      []int     // items that no lane makes whole
	each      []float64 // what a lane of those is worth at most
	single    []float64
	table     []float64
	took      []int32
	sorted    sortedFill
	rollsOf   []int  // by order: the kind of its rolls
	reels     []reel // of which each has lanes of one cost
	fills     int
}

// reel is what a lane cost in the run that was filled last with orders of one kind.
type reel struct {
	fill  int
	cost  float64
	order int // that has it
}

func newFiller(t *task) filler {
	f := filler{rollsOf: make([]int, len(t.id))}
	known := map[int]int{}
	for i := range t.id {
		r := reelOf(t, i)
		if t.stand != nil {
			r = i
		}
		if _, ok := known[r]; !ok {
			known[r] = len(f.reels)
			f.reels = append(f.reels, reel{order: i})
		}
		f.rollsOf[i] = known[r]
	}
	return f
}

// item is an order that has a price on a grade.
type item struct {
	at          int32
	d           int64
	each        float64 // price of a frame of a lane
	copies      int
	cuts        []cutPrice
	whole, part float64 // what the whole is worth with all cuts, and of that for a frame
	frame, half float64 // what a frame is worth with its steps, and half of each step that is rounded up
}

// worth is what a run is worth that makes so many frames of the order.
func (it *item) worth(made int64) float64 {
	if made >= it.d {
		return it.whole
	}
	frames := float64(made)
	v := it.each * frames
	for i := range it.cuts {
		v += it.cuts[i].of(frames)
	}
	return v
}

// priced is a run that pays.
type priced struct {
	cast
	ratio float64
}

// list notes the orders of a grade that have a price.
func (m *master) list(k int) {
	m.items, m.cutPrices = m.items[:0], m.cutPrices[:0]
	for i, d := range m.t.need[k] {
		if d == 0 {
			continue
		}
		p := m.sep[i]
		it := item{at: int32(i), d: d, whole: p, each: p / float64(d), frame: p / float64(d), copies: m.t.copy(i)}
		first := len(m.cutPrices)
		for _, c := range m.cuts[i] {
			if v := m.sep[c.row]; v > 0 {
				x := c.priced(v, d)
				m.cutPrices = append(m.cutPrices, x)
				it.whole += v
				it.frame += x.each * x.scale
				it.half += x.each * (1 - c.rest) / 2
			}
		}
		it.cuts = m.cutPrices[first:len(m.cutPrices):len(m.cutPrices)]
		if it.part = it.whole / float64(d); it.whole > 0 {
			m.items = append(m.items, it)
		}
	}
}

// generate looks for the run of each grade and length that is worth most, and
// returns those that pay, the best first. Lengths are left out at which none pays even
// where all prices that rose since they were looked at do so there.
func (m *master) generate(whole bool) (out []priced) {
	for k := range m.t.grades {
		g := &m.t.grades[k]
		m.rises[k] += risen(m, k)
		if m.list(k); len(m.items) == 0 {
			for s := range m.spans[k] {
				m.spans[k][s].ratio = 0
			}
			continue
		}
		for s := range m.spans[k] {
			span := &m.spans[k][s]
			if !whole && span.ratio < promising {
				continue
			}
			cost := (g.a*float64(span.r) + g.b) * (1 + 1e-7)
			bonus := m.bonus(k, span.r)
			span.worth, span.rises = span.most(m.rises[k]), m.rises[k]
			if bonus+span.worth > cost {
				span.worth = m.fill(g, span.r, span.r, span.r, cost-bonus)
			}
			if span.ratio = (bonus + span.worth) / cost; span.ratio > 1 {
				out = append(out, priced{picked(k, span.r, m.picks), span.ratio})
			}
		}
	}
	copy(m.last, m.sep)
	slices.SortStableFunc(out, func(a, b priced) int { return cmp.Compare(b.ratio, a.ratio) })
	return spread(out, len(m.t.id))
}

// risen is by how much a run of a grade is worth more at most than at the prices at which
// runs were looked for last: by what rose of as many orders as it has lanes.
func risen(m *master, k int) (sum float64) {
	var list []float64
	lanes := int(m.t.grades[k].capacity)
	for i, d := range m.t.need[k] {
		if d == 0 {
			continue
		}
		v := math.Max(0, m.sep[i]-m.last[i])
		for _, c := range m.cuts[i] {
			v += math.Max(0, m.sep[c.row]-m.last[c.row])
		}
		if v > 0 {
			list = append(list, slices.Repeat([]float64{v}, min(m.t.copy(i), lanes))...)
		}
	}
	slices.Sort(list)
	for _, v := range list[max(0, len(list)-lanes):] {
		sum += v
	}
	return sum
}

// Of runs that pay, each order is in few that enter, since more of them say the same.
const mostAlike = 3

// spread returns runs of which few hold the same order.
func spread(found []priced, orders int) []priced {
	in := make([]int32, orders)
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

// picked returns the run of the picks.
func picked(k int, r int64, picks []pick) cast {
	c := cast{grade: k, r: r, parts: make([]part, 0, len(picks))}
	for _, p := range picks {
		c.parts = append(c.parts, part{p.at, p.lanes})
	}
	slices.SortFunc(c.parts, func(a, b part) int { return int(a.at - b.at) })
	return c
}
