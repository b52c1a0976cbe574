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
			bonus := m.bonus(k, span.r)
			worth := bonus + m.fill(g, span.r, span.r, span.r, cost-bonus)
			if span.ratio = worth / cost; span.ratio > 1 {
				out = append(out, priced{picked(k, span.r, m.picks), span.ratio})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b priced) int { return cmp.Compare(b.ratio, a.ratio) })
	return spread(out, len(m.t.id))
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

// worst returns what a run is worth for its cost at most, if that is above least; it
// stops where it is known to be above enough. Runs that pay and that it comes by are
// added to those found.
func (m *master) worst(least, enough float64) float64 {
	w := worstRun{m: m, ratio: least}
	for k := range m.t.grades {
		w.k, w.g = k, &m.t.grades[k]
		if m.list(k); len(m.items) == 0 && len(m.t.counts) == 0 { // by rules a run is worth something by its number
			continue
		}
		for s := range m.spans[k] {
			span := &m.spans[k][s]
			if w.ratio > enough {
				return w.ratio
			}
			if w.g.sort > 0 {
				w.sorted(span)
				continue
			}
			w.between(span.before, span.low-1)
			w.within(span.low, span.r)
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

// between looks at all lengths from low to high, between which no order is met. What lanes
// cost beside their run rises and falls with its length, so the least of all lengths stands
// for them.
func (w *worstRun) between(low, high int64) {
	w.halve(low, high, func(low, high int64) float64 {
		ratio := w.at(high, low, high, high)
		if low < high {
			ratio = math.Max(ratio, w.at(low, low, high, low))
		}
		return ratio
	})
}

// within looks at lengths that one stands for, at any of which an order may be met. What a
// run is worth rises with its length and so does its cost: the worth of the longest for the
// cost of the shortest stands for them.
func (w *worstRun) within(low, high int64) {
	w.halve(low, high, func(low, high int64) float64 { return w.at(high, low, high, low) })
}

// at is what a run of length r is worth for the cost of one of another length, where its
// lanes cost what they do at least from low to high.
func (w *worstRun) at(r, low, high, paid int64) float64 {
	cost, bonus := w.g.a*float64(paid)+w.g.b, w.m.bonus(w.k, low)
	return (bonus + w.m.fill(w.g, r, low, high, w.ratio*cost-bonus)) / cost
}

// halve looks at lengths of which none is worth more for its cost than most says, and
// halves them until that is near enough.
func (w *worstRun) halve(low, high int64, most func(low, high int64) float64) {
	if low > high {
		return
	}
	ratio := most(low, high)
	switch {
	case low == high:
		if w.ratio = math.Max(w.ratio, ratio); ratio > 1+1e-7 && ratio >= w.ratio {
			w.m.extra = append(w.m.extra, priced{picked(w.k, high, w.m.picks), ratio})
		}
	case ratio <= w.ratio*(1+nearRatio):
		w.ratio = math.Max(w.ratio, ratio)
	default:
		mid := low + (high-low)/2
		w.halve(low, mid, most)
		w.halve(mid+1, high, most)
	}
}

// nearRatio is how near is near enough.
const nearRatio = 2e-4

// fill finds the lanes of a run of length r that are worth most beside what they
// cost at least at lengths from low to high, into picks. Where that is not above
// enough it may return a little more than they are worth, and picks say nothing.
//
