package choose

import "math"

// worst returns what a run is worth for its cost at most, if that is above least; it
// stops where it is known to be above enough. Runs that pay and that it comes by are
// added to those found. Where all lengths were just looked at for runs, at the same prices,
// those found then are the least, and most other lengths are known to be worth less.
func (m *master) worst(least, enough float64, looked bool) float64 {
	w := worstRun{m: m, ratio: least}
	for k := range m.spans {
		for s := range m.spans[k] {
			if v := m.spans[k][s].ratio; looked && v > 1 { // else it may be less than that
				w.ratio = math.Max(w.ratio, v)
			}
		}
	}
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
			switch {
			case w.g.sort > 0:
				w.sorted(span)
			case looked:
				w.near(s)
			default:
				w.between(span.before, span.low-1)
				w.within(span.low, span.r)
			}
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

// near looks at the lengths of a turn and at those before it, except where it is known of
// the turn and of the one before that no run is worth more there. It is worth less the
// shorter it is, but for what its lanes may cost less.
func (w *worstRun) near(s int) {
	spans, rises := w.m.spans[w.k], w.m.rises[w.k]
	span := &spans[s]
	cost := func(r int64) float64 { return w.g.a*float64(r) + w.g.b }
	most := span.most(rises) + span.saved
	if span.before < span.low-1 {
		bonus, low := w.m.bonus(w.k, span.before), math.Inf(1)
		if s > 0 {
			low = (bonus + spans[s-1].most(rises) + spans[s-1].savedAfter) / cost(span.before)
		}
		w.ends(span.before, span.low-1, low, (bonus+most)/cost(span.low-1))
	}
	if (w.m.bonus(w.k, span.low)+most)/cost(span.low) > w.ratio {
		w.within(span.low, span.r)
	}
}

// ends looks at all lengths from low to high, between which no order is met, where it is
// known what runs at the ends are worth for their cost at most.
func (w *worstRun) ends(low, high int64, atLow, atHigh float64) {
	if atHigh > w.ratio {
		atHigh = w.at(high, low, high, high)
	}
	if atLow > w.ratio {
		atLow = w.at(low, low, high, low)
	}
	if max(atLow, atHigh) > w.ratio {
		w.between(low, high)
	}
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
