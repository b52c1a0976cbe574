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
	mixed bool          // inks differ
	// Of the dynamic programming: what sets cost at least over all beds, and on each,
	// and the first part of each.
	sum   []int64
	first []int
	on    [][]int64
	inner [][]int
	cost  int64 // of the best partition with plans
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

// start lists the possible cells.
func (x *exact) start() {
	all := 1<<x.p.Orders - 1
	x.cells = make([][]*possible, len(x.beds))
	for b := range x.beds {
		x.cells[b] = make([]*possible, all+1)
		for set := 1; set <= all; set++ {
			x.cells[b][set] = &possible{x.quick(b, set), never, nil, 0}
		}
	}
	x.mixed = false
	for _, k := range x.p.Kinds {
		x.mixed = x.mixed || k != x.p.Kinds[0]
	}
	x.sum, x.first = make([]int64, all+1), make([]int, all+1)
	x.on, x.inner = make([][]int64, len(x.beds)), make([][]int, len(x.beds))
	for b := range x.beds {
		x.on[b], x.inner[b] = make([]int64, all+1), make([]int, all+1)
	}
}

// place is a set of orders on a bed, as in beds.
type place struct{ bed, set int }

// solve refines bounds until the cheapest partition by them is one of proved
// plans, or the steps are spent. It returns the cost that no partition
// undercuts, where each bed costs enter beside its cells.
func (x *exact) solve(enter, steps int64) int64 {
	for {
		bound, cells := x.partition(enter)
		if bound >= x.cost || x.ctx.Err() != nil {
			return min(bound, x.cost)
		}
		sum, open := int64(0), false
		used := map[int]bool{}
		for _, c := range cells {
			cell := x.cells[c.bed][c.set]
			if cell.low < cell.high {
				open = true
				x.look(c)
			}
			if !used[c.bed] {
				used[c.bed] = true
				sum += enter
			}
			sum = min(never, sum+cell.high)
		}
		if sum < x.cost {
			x.cost, x.best = sum, x.named(cells)
		}
		if !open || x.spent > steps {
			bound, _ = x.partition(enter)
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

// look searches a cell, longer each time.
func (x *exact) look(at place) {
	c := x.cells[at.bed][at.set]
	c.looks++
	if c.search == nil {
		orders := x.orders(at.set)
		p, ok := x.p.Gang(x.beds[at.bed], orders)
		if ok {
			var err error
			c.search, err = gang.NewSearch(x.ctx, p, x.seed)
			ok = err == nil
		}
		x.spent += int64(200 * len(orders))
		if !ok {
			c.low, c.high = never, never
			return
		}
	} else {
		x.spent += c.search.Go(1000 << min(c.looks, 20))
	}
	if cost, ok := c.search.Cost(); ok {
		c.high = cost
	}
	c.low = max(c.low, min(c.search.Bound(), c.high))
}

// partition returns the least sum of bounds over cells that hold all orders, with
// what their beds cost beside, and the cells. First each bed shares each set out
// over its own cells, which only orders of different inks need; then the beds
// share out all.
func (x *exact) partition(enter int64) (int64, []place) {
	all := len(x.sum) - 1
	for b := range x.beds {
		cells, on, inner := x.cells[b], x.on[b], x.inner[b]
		for set := 1; set <= all; set++ {
			on[set], inner[set] = cells[set].low, set
			if !x.mixed {
				continue
			}
			low := set & -set
			rest := set ^ low
			for sub := (rest - 1) & rest; rest != 0; sub = (sub - 1) & rest {
				if v := cells[sub|low].low + on[rest^sub]; v < on[set] {
					on[set], inner[set] = v, sub|low
				}
				if sub == 0 {
					break
				}
			}
		}
	}
	at := x.least(all)
	for set := 1; set <= all; set++ {
		low := set & -set
		rest := set ^ low
		x.sum[set] = never
		for sub := rest; ; sub = (sub - 1) & rest {
			part := sub | low
			if v := x.on[at[part]][part] + enter + x.sum[set^part]; v < x.sum[set] {
				x.sum[set], x.first[set] = v, part
			}
			if sub == 0 {
				break
			}
		}
	}
	x.spent += int64(len(x.beds) * (all + 1) / 4)
	var out []place
	if x.sum[all] < never {
		for set := all; set != 0; set ^= x.first[set] {
			b := at[x.first[set]]
			for part := x.first[set]; part != 0; part ^= x.inner[b][part] {
				out = append(out, place{b, x.inner[b][part]})
			}
		}
	}
	return x.sum[all], out
}

// least finds for each set the bed on which it costs least.
func (x *exact) least(all int) []int {
	at := make([]int, all+1)
	for set := 1; set <= all; set++ {
		for b := range x.beds {
			if x.on[b][set] < x.on[at[set]][set] {
				at[set] = b
			}
		}
	}
	return at
}

func (x *exact) orders(set int) []int {
	var out []int
	for s := set; s != 0; s &= s - 1 {
		out = append(out, bits.TrailingZeros(uint(s)))
	}
	return out
}

// named turns places into cells.
func (x *exact) named(cells []place) []Cell {
	var out []Cell
	for _, c := range cells {
		out = append(out, Cell{x.beds[c.bed], x.orders(c.set)})
	}
	return out
}
