package choose

import (
	"context"
	"fmt"
	"slices"

	"quoin/geometry/gang"
)

// Choose looks for a cheap choice, from starts of the caller's, which may be
// none, and from its own. Work is counted in steps, so that the same problem
// gives the same choice. A Choice without cells says that none was found.
func Choose(ctx context.Context, p *Problem, starts [][]Cell, l gang.Limits) Choice {
	c := &chooser{ctx: ctx, p: p, beds: p.useful(), seed: l.Seed, known: map[string]int64{}, limit: l.Steps}
	c.cost = never
	for _, s := range starts {
		c.try(s)
	}
	bound := int64(0)
	if p.Orders <= mostExact {
		x := exact{ctx: ctx, p: p, beds: c.beds, cost: c.cost, best: c.best, seed: l.Seed}
		x.start()
		bound = x.solve(p.Enter, l.Steps)
		c.best, c.cost = x.best, x.cost
		if p.LeastEnter < p.Enter { // what is known of the cells serves the bound too
			x.cost = c.cost
			bound = x.solve(p.LeastEnter, x.spent+l.Steps/2)
		}
		c.spent += x.spent
	}
	if bound < c.cost && p.Orders > mostExact {
		c.alone()
		c.limit = l.Steps / 4
		c.improve(bound)
	}
	jointly := (bound < c.cost || p.sorts(c.beds)) && p.jointly(c.beds)
	if bound < c.cost && (!jointly || p.Orders <= mostCovered || !p.narrow(c.beds)) {
		cover := p.cover(ctx, c.beds, c.best, gang.Limits{Steps: max(2*l.Steps, 1), Seed: l.Seed})
		c.spent += cover.Steps
		if p.Orders > mostExact {
			c.try(cover.cells(p.Orders))
			c.limit = c.spent + l.Steps/4
			c.improve(bound)
		}
		bound = max(bound, min(cover.Cost+p.LeastEnter, c.cost))
	}
	planned := p.Orders > mostExact && !p.OnlyBound && p.narrow(c.beds)
	var apart []Cell
	if jointly && p.Orders > mostExact && p.narrow(c.beds) && len(c.best) > 0 {
		apart = c.printed()
		starts = append(starts, apart)
	}
	lanes := int64(0)
	if jointly {
		x := p.joint(ctx, c.beds, starts, l, planned)
		x.Steps += c.spent
		if len(x.Cells) > 0 && x.Lanes > 0 {
			x.Apart = apart
			return x
		}
		c.spent, lanes = x.Steps, x.Lanes
	}
	return Choice{Cells: c.best, Cost: c.cost, Bound: min(bound, c.cost), Lanes: lanes, Proved: bound >= c.cost && len(c.best) > 0, Steps: c.spent}
}

// mostCovered is of how many orders the LP over classes is solved, too, where that over
// runs of all beds bounds the cost: what it shares out is then but one more start.
const mostCovered = 24

// chooser is one search among many orders.
type chooser struct {
	ctx   context.Context
	p     *Problem
	beds  []int
	seed  uint64
	best  []Cell
	cost  int64
	known map[string]int64 // cost of cells after a short search
	limit int64
	spent int64
}

// printed returns the best cells with their runs after a short search.
func (c *chooser) printed() []Cell {
	out := slices.Clone(c.best)
	for k := range out {
		if g, ok := c.p.gang(out[k].Bed, out[k].Orders); ok {
			plan, b, err := gang.Solve(c.ctx, g, gang.Limits{Steps: lookSteps, Seed: c.seed})
			if c.spent += b.Steps; err == nil {
				out[k].Runs = plan.Runs
			}
		}
	}
	return out
}

// try takes a choice as the best if it is, and reports whether it was taken.
func (c *chooser) try(cells []Cell) bool {
	cells = c.p.gathered(cells)
	sum := c.enter(cells)
	for i := range cells {
		v := c.price(cells[i])
		if v >= never {
			return false
		}
		sum += v
	}
	if sum >= c.cost {
		return false
	}
	c.best, c.cost = slices.Clone(cells), sum
	return true
}

// enter returns what the tools of cells cost beside them.
func (c *chooser) enter(cells []Cell) int64 {
	used := map[int]bool{}
	for i := range cells {
		used[c.p.Beds[cells[i].Bed].Tool] = true
	}
	return int64(len(used)) * c.p.Enter
}

// lookSteps is the work that goes into what a cell costs.
const lookSteps = 4000

// price returns what a cell costs after a short search.
func (c *chooser) price(x Cell) int64 {
	if !c.p.takes(x.Bed, x.Orders) {
		return never
	}
	key := fmt.Sprint(x.Bed, x.Orders)
	if v, ok := c.known[key]; ok {
		return v
	}
	v := int64(never)
	if g, ok := c.p.gang(x.Bed, x.Orders); ok {
		plan, b, err := gang.Solve(c.ctx, g, gang.Limits{Steps: lookSteps, Seed: c.seed})
		if err == nil {
			v = plan.Cost
		}
		c.spent += b.Steps + int64(50*len(x.Orders))
	}
	c.known[key] = v
	return v
}

// alone tries each bed by itself, and each order where it costs least alone.
func (c *chooser) alone() {
	type key struct{ bed, kind int }
	apart := map[key][]int{}
	var keys []key
	for i := range c.p.Orders {
		best, at := int64(never), key{}
		for _, b := range c.beds {
			bed := &c.p.Beds[b]
			o := bed.Offers[i]
			if o.Demand == 0 {
				continue
			}
			rate := bed.Ladder[o.Inks]
			lanes := bed.Capacity / o.Width
			if v := rate.Length*((o.Demand+lanes-1)/lanes) + rate.Run; v < best {
				best, at = v, key{b, c.p.Kinds[i]}
			}
		}
		if apart[at] == nil {
			keys = append(keys, at)
		}
		apart[at] = append(apart[at], i)
	}
	var cells []Cell
	for _, k := range keys {
		cells = append(cells, Cell{Bed: k.bed, Orders: apart[k]})
	}
	c.try(cells)
	for _, b := range c.beds {
		c.try(c.onOne(b))
	}
}

// onOne puts the orders on one bed, those of the same inks together, and those
// that it doesn't take where they are.
func (c *chooser) onOne(bed int) []Cell {
	at := map[int]int{}
	var out []Cell
	for i := range c.p.Orders {
		if c.p.Beds[bed].Offers[i].Demand == 0 {
			continue
		}
		kind := c.p.Kinds[i]
		if _, known := at[kind]; !known {
			at[kind] = len(out)
			out = append(out, Cell{Bed: bed})
		}
		cell := &out[at[kind]]
		cell.Orders = append(cell.Orders, i)
	}
	for _, x := range c.best {
		rest := slices.DeleteFunc(slices.Clone(x.Orders), func(i int) bool { return c.p.Beds[bed].Offers[i].Demand > 0 })
		if len(rest) > 0 {
			out = append(out, Cell{Bed: x.Bed, Orders: rest})
		}
	}
	return out
}
