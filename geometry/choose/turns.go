package choose

import (
	"math"
	"slices"
)

// turns lists the run lengths of a grade at which a lane less meets an order, or
// counts as much of it, and those where rules on the number of runs begin and end.
// Between two of them runs make no more for their cost than at their ends. Of
// many, one stands for all down to a two-hundredth less.
func (m *master) turns(grade int) []turn {
	t := m.t
	g := &t.grades[grade]
	all := []int64{g.least}
	for i, d := range t.need[grade] {
		if d == 0 {
			continue
		}
		for p := int64(1); p <= g.capacity; p++ {
			all = append(all, max(g.least, (d+p-1)/p))
			for _, c := range m.cuts[i] {
				for _, r := range c.bends(d, p) {
					all = append(all, max(g.least, r))
				}
			}
		}
	}
	longest := slices.Max(all)
	var ends []int64
	for _, c := range t.counts {
		if r := c.low[grade]; r > g.least && r < never {
			ends = append(ends, r)
		}
	}
	all = append(all, ends...)
	slices.Sort(all)
	all = slices.Compact(all)
	if t.lane != nil && g.a > 0 { // a run beyond all needs may cost less, where its rolls end with it
		most := 0.0
		for i, d := range t.need[grade] {
			if d > 0 {
				most = math.Max(most, t.lanes(g, i, longest, longest))
			}
		}
		all = append(all, max(longest+1+int64(most*float64(g.capacity)/g.a), all[len(all)-1]+1))
	}
	var out []turn
	for _, r := range all {
		n := len(out)
		if len(all) > fineTurns && n > 0 && r*200 < out[n-1].low*201 && !slices.Contains(ends, r) {
			out[n-1].r = r
			continue
		}
		before := r
		if n > 0 {
			before = out[n-1].r
		}
		out = append(out, turn{before: before, low: r, r: r, worth: math.Inf(1)})
	}
	for n := range out {
		x := &out[n]
		if x.saved = saved(m, g, x.r, x.before, x.r); n+1 < len(out) {
			x.savedAfter = saved(m, g, x.r, x.r, out[n+1].low-1)
		}
	}
	return out
}

// saved is by how much all lanes of a run may cost less at a length from low to high than
// at r.
func saved(m *master, g *grade, r, low, high int64) (most float64) {
	if m.t.lane == nil || low >= high {
		return 0
	}
	for _, x := range m.reels {
		most = math.Max(most, m.t.lanes(g, x.order, r, r)-m.t.lanes(g, x.order, low, high))
	}
	return most * float64(g.capacity)
}

// fineTurns is how many lengths of a grade are looked at one by one.
const fineTurns = 250

// turn is a length, or several near each other, and the one before.
type turn struct {
	before, low, r int64
	ratio          float64 // worth by cost when it was last looked at
	worth          float64 // of the lanes of a run of r, at most, then
	rises          float64 // of its grade then
	saved          float64 // by how much all lanes may cost less at another of its lengths
	savedAfter     float64 // and between it and the next
}

// most is what the lanes of a run of r are worth at most after so many rises of prices.
func (t *turn) most(rises float64) float64 { return t.worth + rises - t.rises }
