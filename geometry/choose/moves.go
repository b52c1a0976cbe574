package choose

import (
	"math/rand/v2"
	"slices"
)

// improve moves orders between cells, and joins cells, until the steps are spent
// or many moves in turn have brought nothing.
func (c *chooser) improve(bound int64) {
	rng := rand.New(rand.NewPCG(c.seed, uint64(c.p.Orders)))
	for idle := 0; len(c.best) > 0 && c.cost > bound && c.spent < c.limit && idle < 60+12*c.p.Orders && c.ctx.Err() == nil; idle++ {
		if c.move(rng) {
			idle = 0
		}
	}
}

// move tries one change of the best choice and reports whether it was better.
func (c *chooser) move(rng *rand.Rand) bool {
	from := rng.IntN(len(c.best))
	to := rng.IntN(len(c.best) + 1) // behind the last: a cell of its own
	a := c.best[from]
	bed := c.beds[rng.IntN(len(c.beds))]
	var changed []Cell
	switch way := rng.IntN(4); {
	case way == 0 && to != from: // the whole cell to another bed, or to another cell
		if to == len(c.best) {
			changed = []Cell{{Bed: bed, Orders: a.Orders}}
			to = from
		} else {
			b := c.best[to]
			changed = []Cell{{Bed: []int{a.Bed, b.Bed, bed}[rng.IntN(3)], Orders: merged(a.Orders, b.Orders)}}
		}
	case to != from: // some orders
		take := rng.IntN(len(a.Orders))
		n := 1 + rng.IntN(2)
		moved := c.p.whole(a.Orders[take:min(len(a.Orders), take+n)])
		rest := slices.DeleteFunc(slices.Clone(a.Orders), func(i int) bool { return slices.Contains(moved, i) })
		if to == len(c.best) {
			changed = []Cell{{Bed: bed, Orders: moved}}
			to = from
		} else {
			changed = []Cell{{Bed: c.best[to].Bed, Orders: merged(moved, c.best[to].Orders)}}
		}
		if len(rest) > 0 {
			changed = append(changed, Cell{Bed: a.Bed, Orders: rest})
		}
	default:
		return false
	}
	return c.replace(from, to, changed)
}

// replace puts cells in the place of two others where that costs less.
func (c *chooser) replace(from, to int, changed []Cell) bool {
	c.spent += 20
	var cells []Cell
	for i, x := range c.best {
		if i != from && i != to {
			cells = append(cells, x)
		}
	}
	cells = append(cells, changed...)
	cost := c.cost - c.price(c.best[from]) - c.enter(c.best) + c.enter(cells)
	if to != from {
		cost -= c.price(c.best[to])
	}
	for _, x := range changed {
		v := c.price(x)
		if v >= never || cost+v >= c.cost {
			return false
		}
		cost += v
	}
	c.best, c.cost = cells, cost
	return true
}

// merged joins two rising lists.
func merged(a, b []int) []int {
	out := slices.Concat(a, b)
	slices.Sort(out)
	return out
}
