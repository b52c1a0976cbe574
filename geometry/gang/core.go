package gang

import (
	"cmp"
	"math"
	"slices"
)

// none is the limit of an order that accepts any quantity.
const none = math.MaxInt64 / 8

// need is one order inside the search: lengths in steps, widths without their
// common divisor.
type need struct {
	d, u    int64 // least and greatest quantity
	w       int64 // width of a lane
	noSplit bool
}

// core is a problem, or a part of one, in the form that the search works on:
// lengths count steps, orders stand by falling demand.
type core struct {
	need   []need
	id     []int // index of each need in the problem above
	cap    int64 // capacity
	a, b   int64 // cost of a step of length and of a run
	runs   int   // greatest number of runs, or none
	share  int   // greatest number of orders in a run, or none
	least  int64 // least length of a run, at least 1
	capped bool  // some order has a greatest quantity
	whole  bool  // some order must not be split
}

// newCore turns a valid problem into steps.
func newCore(p *Problem) *core {
	step := max(p.Step, 1)
	c := &core{
		cap: p.Capacity, a: p.LengthCost * step, b: p.RunCost,
		runs: orNone(p.MaxRuns), share: orNone(p.MaxOrders),
		least: max(1, ceilDiv(p.LeastLength, step)),
	}
	for i := range p.Orders {
		o := &p.Orders[i]
		n := need{d: ceilDiv(o.Demand, step), u: none, w: max(o.Width, 1), noSplit: o.NoSplit}
		if o.Most > 0 {
			n.u = o.Most / step
		}
		c.need = append(c.need, n)
		c.id = append(c.id, i)
	}
	c.finish()
	return c
}

func orNone(n int) int {
	if n == 0 {
		return math.MaxInt32
	}
	return n
}

// finish sorts the needs by falling demand, divides the widths by their common
// divisor and sets the flags.
func (c *core) finish() {
	n := len(c.need)
	at := make([]int, n)
	for i := range at {
		at[i] = i
	}
	slices.SortStableFunc(at, func(x, y int) int {
		a, b := &c.need[x], &c.need[y]
		return cmp.Or(cmp.Compare(b.d, a.d), cmp.Compare(b.w, a.w), cmp.Compare(a.u, b.u))
	})
	needs, ids := make([]need, n), make([]int, n)
	var g int64
	for i, k := range at {
		needs[i], ids[i] = c.need[k], c.id[k]
		g = gcd(g, needs[i].w)
		c.capped = c.capped || needs[i].u < none
		c.whole = c.whole || needs[i].noSplit
	}
	for i := range needs {
		needs[i].w /= g
	}
	c.cap /= g
	c.need, c.id = needs, ids
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// strict reports whether the number of orders in a run is limited to less than
// its lanes, which only the general search knows.
func (c *core) strict() bool {
	return c.share < len(c.need) && int64(c.share) < c.mostLanes()
}

// mostLanes is the greatest number of lanes that a run can hold.
func (c *core) mostLanes() int64 {
	w := c.cap
	for i := range c.need {
		w = min(w, c.need[i].w)
	}
	return c.cap / w
}

// lanes is how many lanes of one order meet need i in a run of length r.
func (c *core) lanes(i int, r int64) int64 { return ceilDiv(c.need[i].d, r) }

// part is one order's lanes in a run of the search.
type part struct {
	at    int // index into core.need
	lanes int64
}

// run is a run of the search.
type run struct {
	r     int64
	parts []part
}

// withoutEmpty drops runs that print nothing.
func withoutEmpty(runs []run) []run {
	return slices.DeleteFunc(runs, func(r run) bool { return len(r.parts) == 0 })
}

// cost of a set of runs.
func (c *core) cost(runs []run) int64 {
	return c.a*totalLength(runs) + c.b*int64(len(runs))
}

func totalLength(runs []run) int64 {
	var sum int64
	for i := range runs {
		sum += runs[i].r
	}
	return sum
}

// knownRuns returns the runs that the problem brings along; nil where there are none,
// or they don't do.
func knownRuns(c *core, p *Problem) []run {
	if len(p.Start) == 0 {
		return nil
	}
	if _, err := p.PlanOf(p.Start); err != nil {
		return nil
	}
	at := make([]int, len(c.id))
	for k, i := range c.id {
		at[i] = k
	}
	var runs []run
	for _, r := range p.Start {
		one := run{r: r.Length / max(p.Step, 1)}
		for _, s := range r.Shares {
			one.parts = append(one.parts, part{at[s.Order], s.Lanes})
		}
		runs = append(runs, one)
	}
	return runs
}

// planOf turns runs into the public form, in units of the problem.
func (c *core) planOf(p *Problem, runs []run) Plan {
	step := max(p.Step, 1)
	var pl Plan
	for _, r := range runs {
		out := Run{Length: r.r * step}
		for _, s := range r.parts {
			out.Shares = append(out.Shares, Share{Order: c.id[s.at], Lanes: s.lanes})
		}
		pl.Runs = append(pl.Runs, out)
		pl.Length += out.Length
	}
	pl.Cost = p.LengthCost*pl.Length + p.RunCost*int64(len(pl.Runs))
	pl.sortRuns()
	return pl
}
