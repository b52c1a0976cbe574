package choose

import (
	"math"
	"slices"
)

// cut is a row of an order that no runs which print it fall short of. What they make of it
// is counted in steps. The order takes some whole steps and a rest, and counts one more
// than the whole ones. A part counts its own whole steps, and what is left beside them as
// one where that is as much as the order's rest, or else in proportion:
//
//	(floor(part/step) + min(1, frac(part/step)/frac(1/step))) / (floor(1/step) + 1)
//
// (mixed integer rounding: G. L. Nemhauser, L. A. Wolsey, "A recursive procedure to
// generate all cuts for 0-1 mixed integer programs", Mathematical Programming 46, 1990;
// H. Marchand, L. A. Wolsey, "Aggregation and mixed integer rounding to solve MIPs",
// Operations Research 49(3), 2001, for steps that are parts of the solution). Of steps
// hardly less than a k-th of the order there is no rest to speak of, so that a part counts
// (floor(k*part) + 1)/(k + 1) (V. Chvatal, "Edmonds polytopes and a hierarchy of
// combinatorial problems", Discrete Mathematics 4, 1973).
//
// With them the LP of all runs is 0.2 per cent higher, over the families of a night of
// 1,000 orders, and so is the bound by cases at the same time.
type cut struct {
	k    int64   // whole steps of the order
	step float64 // as a part of it; 0: hardly less than a k-th
	rest float64 // of the order, in steps
	row  int
}

// roundedUp is the cut by parts hardly less than a k-th.
func roundedUp(k int64) cut { return cut{k: k} }

// inSteps is the cut by steps of a part of the order.
func inSteps(step float64) cut {
	k := math.Floor(1 / step)
	return cut{k: int64(k), step: step, rest: 1/step - k}
}

// is reports whether two cuts are one.
func (c cut) is(o cut) bool { return c.k == o.k && c.step == o.step }

// same reports whether two cuts say about the same: the LP would not tell them apart.
func (c cut) same(o cut) bool { return c.k == o.k && math.Abs(c.step-o.step) <= 0.02*c.step }

// of is what a run counts that makes so many frames of those needed.
func (c cut) of(made, need int64) float64 {
	switch {
	case need == 0:
		return 0
	case made >= need:
		return 1
	}
	x := c.priced(1, need)
	return x.of(float64(made))
}

// cutPrice is a cut with its price, of an order that needs so many frames.
type cutPrice struct {
	each  float64 // what a step is worth
	scale float64 // steps in a frame
	more  float64 // frames that are added, so that no whole step is missed by rounding
	rise  float64 // by how much of a step the next is worth each
}

func (c cut) priced(price float64, need int64) cutPrice {
	each := price / float64(c.k+1)
	if c.step == 0 { // half a k-th of a frame beyond each whole step
		return cutPrice{each, float64(c.k) / float64(need), 0.5 / float64(c.k), math.MaxFloat64}
	}
	return cutPrice{each, 1 / (float64(need) * c.step), 0, 1 / c.rest}
}

// of is what a run is worth that makes so many frames, less than the order.
func (c *cutPrice) of(made float64) float64 {
	q := (made + c.more) * c.scale
	whole := float64(int64(q))
	return c.each * (whole + min(1, (q-whole)*c.rise))
}

// bends lists the lengths at which so many lanes of an order that needs so many frames
// begin to count more, or cease to.
func (c cut) bends(need, lanes int64) (out []int64) {
	if c.step == 0 {
		for j := int64(1); j < c.k; j++ {
			out = append(out, (j*need+c.k*lanes-1)/(c.k*lanes))
		}
		return out
	}
	frames := c.step * float64(need) / float64(lanes)
	for j := range c.k + 1 {
		out = append(out, int64(math.Ceil(float64(j)*frames)), int64(math.Ceil((float64(j)+c.rest)*frames)))
	}
	return out
}

// Limits of the cuts that are looked for.
const (
	mostParts = 3    // k of those rounded up
	mostCuts  = 6    // of an order
	leastStep = 0.1  // as a part of an order
	leastRest = 0.02 // of a step, by which it is more than whole ones: else it is about rounded up
	lacking   = 0.03 // of an order, by which a cut is broken
)

// portion is what a run of the basis makes of an order.
type portion struct {
	made, need int64
	runs       float64
}

// broken returns the cuts of each order that have a price, with the one that the basis
// breaks most, if any; more says whether there are new ones.
func (m *master) broken() (out [][]cut, more bool) {
	of := make([][]portion, len(m.t.id))
	for r, x := range m.x {
		if c := &m.col[r]; c.grade != spared && x > 1e-9 {
			for _, p := range c.parts {
				of[p.at] = append(of[p.at], portion{int64(p.lanes) * c.r, m.t.need[c.grade][p.at], x})
			}
		}
	}
	out = make([][]cut, len(of))
	for i := range of {
		for _, c := range m.cuts[i] {
			if m.best[c.row] > 0 || m.price[c.row] > 0 || m.sep[c.row] > 0 {
				out[i] = append(out[i], c)
			}
		}
		if c := mostBroken(of[i], out[i], float64(m.t.copy(i))); c.k > 0 {
			out[i], more = append(out[i], c), true
		}
	}
	return out, more
}

// mostBroken returns the cut of so many copies of an order that runs of a basis break
// most, beside those known; its k is 0 where there is none.
func mostBroken(list []portion, known []cut, copies float64) (worst cut) {
	least := copies * (1 - lacking)
	try := func(c cut) {
		counted := 0.0
		for _, x := range list {
			counted += x.runs * c.of(x.made, x.need)
		}
		if counted < least && !slices.ContainsFunc(known, c.same) {
			worst, least = c, counted
		}
	}
	for k := int64(1); k <= mostParts; k++ {
		try(roundedUp(k))
	}
	if len(known) >= mostCuts {
		return worst
	}
	for _, x := range list {
		part := float64(x.made) / float64(x.need)
		for _, step := range []float64{part, 1 - part} {
			if step < leastStep || step > 1-leastStep/2 {
				continue
			}
			if c := inSteps(step); c.rest > leastRest {
				try(c)
			}
		}
	}
	return worst
}
