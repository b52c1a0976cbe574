package choose

import (
	"cmp"
	"math"
	"slices"
)

// Where lanes that several orders share cost more, by the length of the run, an order may
// take more lanes than it needs so that it shares none. So each is worth what it is worth
// with any number of lanes, and a run takes one number for each: a knapsack of which one of
// several is chosen for each order. It is solved without wholeness first, and then among
// those numbers that may still be in a better run (D. Pisinger, "A minimal algorithm for
// the multiple-choice knapsack problem", European Journal of Operational Research 83,
// 1995).
type sortedFill struct {
	list   []offered
	worths []float64
	steps  []slope
	hull   []int32
	core   []int32 // numbers of lanes that may be in a better run, order by order
	value  []float64
	took   []int32
}

// offered is what an order is worth with some lanes, beside what they cost.
type offered struct {
	at    int32
	worth []float64 // by lanes
	taken int32
	best  float64 // beside what its lanes are worth elsewhere
	from  int     // its numbers in the core
	to    int
}

// slope is lanes that an order takes together, from a number of them on to another.
type slope struct {
	of       int
	from, to int32
	each     float64
}

// fill is that of the master where the sorting of shared lanes has a price; it is that of
// a run of length low.
func (f *sortedFill) fill(m *master, g *grade, r, low int64, enough float64) float64 {
	m.picks = m.picks[:0]
	f.offer(m, g, r, low)
	lane := f.relax(int32(g.capacity))
	m.work += int64(len(f.worths) + 4*len(f.steps))
	upper, lower := lane*float64(g.capacity), 0.0
	for y := range f.list {
		o := &f.list[y]
		o.best = 0
		for p, v := range o.worth {
			o.best = math.Max(o.best, v-lane*float64(p))
		}
		upper, lower = upper+o.best, lower+o.worth[o.taken]
	}
	if upper <= enough {
		return upper
	}
	if least := math.Max(enough, lower); upper > least*(1+1e-12) {
		f.narrow(lane, upper-least)
		best, work := f.among(int(g.capacity), least)
		lower, m.work = math.Max(lower, best), m.work+work
	}
	for _, o := range f.list {
		if o.taken > 0 {
			m.picks = append(m.picks, pick{0, o.at, o.taken})
		}
	}
	return math.Max(lower, math.Min(enough, upper))
}

// offer lists what orders are worth in a run of length r that is sorted for a length low,
// and the steps of more lanes for each, of which each is worth less than the one before.
func (f *sortedFill) offer(m *master, g *grade, r, low int64) {
	f.list, f.worths, f.steps = f.list[:0], f.worths[:0], f.steps[:0]
	for x := range m.items {
		it := &m.items[x]
		most := (it.d + r - 1) / r
		most = min(g.capacity, (most+g.rows-1)/g.rows*g.rows)
		first := len(f.worths)
		f.worths = append(f.worths, 0)
		for p := int64(1); p <= most; p++ {
			f.worths = append(f.worths, it.worth(p*r)-float64(p)*m.t.lanes(g, int(it.at), low, r)-g.sorting(p, low))
		}
		worth := f.worths[first:len(f.worths):len(f.worths)]
		f.rise(worth)
		for range min(int64(it.copies), g.capacity) {
			for k := 1; k < len(f.hull); k++ {
				from, to := f.hull[k-1], f.hull[k]
				f.steps = append(f.steps, slope{len(f.list), from, to, (worth[to] - worth[from]) / float64(to-from)})
			}
			f.list = append(f.list, offered{at: it.at, worth: worth})
		}
	}
	slices.SortStableFunc(f.steps, func(a, b slope) int { return cmp.Compare(b.each, a.each) })
}

// rise lists the numbers of lanes between which what they are worth rises less and less.
func (f *sortedFill) rise(worth []float64) {
	f.hull = append(f.hull[:0], 0)
	for p := int32(1); int(p) < len(worth); p++ {
		if worth[p] <= worth[f.hull[len(f.hull)-1]] {
			continue
		}
		for n := len(f.hull); n > 1; n-- {
			a, b := f.hull[n-2], f.hull[n-1]
			if (worth[b]-worth[a])*float64(p-a) > (worth[p]-worth[a])*float64(b-a) {
				break
			}
			f.hull = f.hull[:n-1]
		}
		f.hull = append(f.hull, p)
	}
}

// relax takes the steps that are worth most, and returns what a lane more is worth. Where
// there is no room for a step, the order takes what is best of less, and others go on.
func (f *sortedFill) relax(room int32) (lane float64) {
	full := false
	for _, s := range f.steps {
		o := &f.list[s.of]
		if n := s.to - s.from; n <= room && o.taken == s.from {
			o.taken, room = s.to, room-n
			continue
		}
		if !full {
			full, lane = true, s.each
		}
		for p := o.taken + 1; p <= min(s.to, o.taken+room); p++ {
			if o.worth[p] > o.worth[o.taken] {
				room -= p - o.taken
				o.taken = p
			}
		}
		if room == 0 {
			break
		}
	}
	if !full && room == 0 { // the next step begins where the room ends
		for _, s := range f.steps {
			if f.list[s.of].taken <= s.from {
				return s.each
			}
		}
	}
	return lane
}

// narrow keeps the numbers of lanes that lose less than so much.
func (f *sortedFill) narrow(lane, loss float64) {
	f.core = f.core[:0]
	for y := range f.list {
		o := &f.list[y]
		o.from = len(f.core)
		for p, v := range o.worth {
			if o.best-(v-lane*float64(p)) <= loss*(1+1e-9) {
				f.core = append(f.core, int32(p))
			}
		}
		o.to = len(f.core)
	}
}

// among finds the best run of the core, and takes it where it is worth more than least.
func (f *sortedFill) among(lanes int, least float64) (best float64, work int64) {
	size := (len(f.list) + 1) * (lanes + 1)
	if len(f.value) < size {
		f.value, f.took = make([]float64, size), make([]int32, size)
	}
	clear(f.value[:lanes+1])
	for y := range f.list {
		o := &f.list[y]
		before, now := f.value[y*(lanes+1):(y+1)*(lanes+1)], f.value[(y+1)*(lanes+1):(y+2)*(lanes+1)]
		took := f.took[(y+1)*(lanes+1) : (y+2)*(lanes+1)]
		for j := range now {
			now[j], took[j] = math.Inf(-1), 0
		}
		for _, p := range f.core[o.from:o.to] {
			v := o.worth[p]
			for j := int(p); j <= lanes; j++ {
				if w := before[j-int(p)] + v; w > now[j] {
					now[j], took[j] = w, p
				}
			}
			work += int64(lanes)
		}
	}
	best = f.value[len(f.list)*(lanes+1)+lanes]
	if best <= least {
		return best, work
	}
	for y, at := len(f.list), lanes; y > 0; y-- {
		p := f.took[y*(lanes+1)+at]
		f.list[y-1].taken, at = p, at-int(p)
	}
	return best, work
}

// sorted looks at all lengths of a turn where sorting has a price. Before its first, what
// a run is worth and what it costs rise evenly with its length, so that no run is worth
// more for its cost than at one of the ends.
func (w *worstRun) sorted(span *turn) {
	if span.before < span.low-1 {
		w.within(span.low-1, span.low-1)
		w.within(span.before, span.before)
	}
	w.within(span.low, span.r)
}
