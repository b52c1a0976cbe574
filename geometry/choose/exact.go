package choose

import (
	"context"
	"math/bits"

	"quoin/geometry/gang"
)

// mostExact is the greatest number of orders whose sets are all looked at.
const mostExact = 10

// exact looks for the cheapest partition of few orders into cells.
type exact struct {
	ctx   context.Context
	p     *Problem
	beds  []int
	cells [][]*possible // by bed, as in beds, and set of orders
	least []int64       // by set: the least bound of a cell of it
	at    []int         // by set: the bed of that cell
	cost  int64         // of the best partition with plans
	best  []Cell
	seed  uint64
	spent int64
}

// possible is a cell that may be part of the best choice.
type possible struct {
	low, high int64
	search    *gang.Search
	looks     int
}

// setSteps is about the work of one set in the dynamic programming.
const setSteps = 2

// solve refines bounds until the cheapest partition by them is one of proved
// plans, or the steps are spent. It returns the cost that no partition undercuts.
func (x *exact) solve(steps int64) int64 {
	all := 1<<x.p.Orders - 1
	x.least, x.at = make([]int64, all+1), make([]int, all+1)
	x.cells = make([][]*possible, len(x.beds))
	for b := range x.beds {
		x.cells[b] = make([]*possible, all+1)
	}
	for set := 1; set <= all; set++ {
		for b := range x.beds {
			x.cells[b][set] = &possible{x.quick(b, set), never, nil, 0}
		}
		x.settle(set)
	}
	for {
		bound, parts := x.partition(all)
		if bound >= x.cost || x.ctx.Err() != nil {
			return min(bound, x.cost)
		}
		sum, open := int64(0), false
		for _, set := range parts {
			c := x.cells[x.at[set]][set]
			if c.low < c.high {
				open = true
				x.look(set)
			}
			if c.high == never || sum == never {
				sum = never
			} else {
				sum += c.high
			}
		}
		if sum < x.cost {
			x.cost, x.best = sum, x.named(parts)
		}
		if !open || x.spent > steps {
			bound, _ = x.partition(all)
			return min(bound, x.cost)
		}
	}
}

// quick is a bound of a set of orders on a bed by their volume.
func (x *exact) quick(b, set int) int64 {
	bed := &x.p.Beds[x.beds[b]]
	inks, volume, width, longest := 0, int64(0), int64(0), bed.Least
	for s := set; s != 0; s &= s - 1 {
		o := bed.Offers[bits.TrailingZeros(uint(s))]
		if o.Demand == 0 {
			return never
		}
		inks = max(inks, o.Inks)
		volume += o.Demand * o.Width
		width += o.Width
		lanes := bed.Capacity / o.Width
		longest = max(longest, (o.Demand+lanes-1)/lanes)
	}
	rate := bed.rate(inks)
	if rate.Run >= never {
		return never
	}
	return rate.Length*max(longest, (volume+bed.Capacity-1)/bed.Capacity) + rate.Run*((width+bed.Capacity-1)/bed.Capacity)
}

// settle finds the bed of the least bound for a set.
func (x *exact) settle(set int) {
	x.least[set] = never
	for b := range x.beds {
		if low := x.cells[b][set].low; low < x.least[set] {
			x.least[set], x.at[set] = low, b
		}
	}
}

// look searches the cell of a set on its bed of the least bound, longer each time.
func (x *exact) look(set int) {
	b := x.at[set]
	c := x.cells[b][set]
	c.looks++
	if c.search == nil {
		orders := x.orders(set)
		p, ok := x.p.Gang(x.beds[b], orders)
		if ok {
			var err error
			c.search, err = gang.NewSearch(x.ctx, p, x.seed)
			ok = err == nil
		}
		x.spent += int64(50 * len(orders))
		if !ok {
			c.low, c.high = never, never
			x.settle(set)
			return
		}
	} else {
		x.spent += c.search.Go(1000 << c.looks)
	}
	if cost, ok := c.search.Cost(); ok {
		c.high = cost
	}
	c.low = max(c.low, min(c.search.Bound(), c.high))
	x.settle(set)
}

// partition returns the least sum of bounds over the parts of a set, and the parts.
func (x *exact) partition(all int) (int64, []int) {
	sum, first := make([]int64, all+1), make([]int, all+1)
	for set := 1; set <= all; set++ {
		low := set & -set
		rest := set ^ low
		sum[set] = never
		for sub := rest; ; sub = (sub - 1) & rest {
			if part := sub | low; x.least[part] < never && sum[set^part] < never {
				if v := x.least[part] + sum[set^part]; v < sum[set] {
					sum[set], first[set] = v, part
				}
			}
			if sub == 0 {
				break
			}
		}
		x.spent += setSteps
	}
	var parts []int
	if sum[all] < never {
		for set := all; set != 0; set ^= first[set] {
			parts = append(parts, first[set])
		}
	}
	return sum[all], parts
}

func (x *exact) orders(set int) []int {
	var out []int
	for s := set; s != 0; s &= s - 1 {
		out = append(out, bits.TrailingZeros(uint(s)))
	}
	return out
}

// named turns sets into cells.
func (x *exact) named(parts []int) []Cell {
	var out []Cell
	for _, set := range parts {
		out = append(out, Cell{x.beds[x.at[set]], x.orders(set)})
	}
	return out
}
