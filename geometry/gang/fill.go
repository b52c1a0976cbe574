package gang

import (
	"cmp"
	"slices"
)

// filler finds the run of a given length that is worth most, when a unit of
// each order has a price and nothing counts beyond the demand.
//
// A lane that is full is worth the same each time, the last one less, so with
// equal widths the best lanes are simply taken. Widths that differ make it a
// knapsack.
type filler struct {
	c     *core
	items []item
	lane  []int64
	worth []float64 // by capacity
	took  [][]bool  // by lane offered and capacity
	equal bool
	held  int64 // lanes of the items, where widths are equal
}

// item is lanes of one order that are worth the same.
type item struct {
	i     int
	lanes int64
	value float64 // of one lane
	each  float64 // value by width
}

func newFiller(c *core) *filler {
	f := &filler{c: c, lane: make([]int64, len(c.need)), equal: true}
	for i := range c.need {
		f.equal = f.equal && c.need[i].w == 1
	}
	if !f.equal && c.cap <= widestTable {
		f.worth = make([]float64, c.cap+1)
	}
	return f
}

// steps is about the work of one call of best.
func (f *filler) steps() int64 {
	return int64(len(f.lane)/2 + 1 + len(f.worth)*len(f.items)/50)
}

// best chooses the lanes of a run of length r for what ns still need, and
// gives what they are worth or, where widths are too fine for a knapsack, a
// little more.
func (f *filler) best(r int64, price []float64, ns []need) float64 {
	f.items, f.held = f.items[:0], 0
	for i := range ns {
		n := &ns[i]
		if price[i] <= 0 || n.d <= 0 {
			continue
		}
		if f.equal && f.full() && price[i]*float64(r) <= f.items[len(f.items)-1].each {
			continue
		}
		full := min(n.d/r, f.c.cap/n.w)
		if full > 0 {
			v := price[i] * float64(r)
			f.add(item{i, full, v, v / float64(n.w)})
		}
		if rest := n.d - full*r; rest > 0 && (full+1)*n.w <= f.c.cap {
			v := price[i] * float64(min(rest, r))
			f.add(item{i, 1, v, v / float64(n.w)})
		}
	}
	if !f.equal {
		slices.SortFunc(f.items, func(a, b item) int {
			return cmp.Or(cmp.Compare(b.each, a.each), cmp.Compare(a.i, b.i))
		})
	}
	if f.worth != nil {
		return f.knapsack()
	}
	left, worth := f.c.cap, 0.0
	for _, it := range f.items {
		w := f.c.need[it.i].w
		if lanes := left / w; lanes < it.lanes {
			return worth + float64(left)*it.each
		}
		left -= it.lanes * w
		worth += float64(it.lanes) * it.value
	}
	return worth
}

// add takes an item in. With equal widths items stand by falling value, and those that
// the run has no room for are left out: of many orders they are nearly all.
func (f *filler) add(it item) {
	if !f.equal {
		f.items = append(f.items, it)
		return
	}
	at := len(f.items)
	if f.full() && it.each <= f.items[at-1].each {
		return
	}
	f.items = append(f.items, it)
	for ; at > 0 && f.items[at-1].each < it.each; at-- {
		f.items[at] = f.items[at-1]
	}
	f.items[at] = it
	f.held += it.lanes
	for last := len(f.items) - 1; f.held-f.items[last].lanes >= f.c.cap; last-- {
		f.held -= f.items[last].lanes
		f.items = f.items[:last]
	}
}

// full reports whether the items, of equal widths, fill a run.
func (f *filler) full() bool { return f.held >= f.c.cap }

// knapsack fills the capacity as well as can be.
func (f *filler) knapsack() float64 {
	clear(f.worth)
	row := 0
	for _, it := range f.items {
		w := int(f.c.need[it.i].w)
		for range it.lanes {
			if row == len(f.took) {
				f.took = append(f.took, make([]bool, len(f.worth)))
			}
			took := f.took[row]
			clear(took)
			for k := len(f.worth) - 1; k >= w; k-- {
				if v := f.worth[k-w] + it.value; v > f.worth[k] {
					f.worth[k], took[k] = v, true
				}
			}
			row++
		}
	}
	return f.worth[len(f.worth)-1]
}

// lanes returns the lanes of each order in the run found last.
func (f *filler) lanes() []int64 {
	clear(f.lane)
	left := f.c.cap
	if f.worth == nil {
		for _, it := range f.items {
			p := min(it.lanes, left/f.c.need[it.i].w)
			left -= p * f.c.need[it.i].w
			f.lane[it.i] += p
		}
		return f.lane
	}
	row := 0
	for _, it := range f.items {
		row += int(it.lanes)
	}
	for k := len(f.items) - 1; k >= 0; k-- {
		for range f.items[k].lanes {
			row--
			if f.took[row][left] {
				f.lane[f.items[k].i]++
				left -= f.c.need[f.items[k].i].w
			}
		}
	}
	return f.lane
}

// turningLengths lists the run lengths at which a lane more or less meets some
// demand of ns (c.need, when nil). Between two of them the worth of the best
// run is convex in its length, so the best worth by cost lies at one of them.
func (c *core) turningLengths(ns []need) []int64 {
	if ns == nil {
		ns = c.need
	}
	top := c.least
	var all []int64
	for i := range ns {
		n := &ns[i]
		if n.d <= 0 {
			continue
		}
		for p := int64(1); p <= c.cap/n.w; p++ {
			all = append(all, n.d/p, ceilDiv(n.d, p))
		}
		top = max(top, n.d)
	}
	all = append(all, c.least, top)
	slices.Sort(all)
	return slices.DeleteFunc(slices.Compact(all), func(r int64) bool { return r < c.least })
}
