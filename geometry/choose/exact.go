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
	tools []tooled
	// Of the dynamic programming: what sets cost at least, the tool that serves each
	// cheapest, and the first part of each.
	sum   []int64
	first []int
	with  []int
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
	at := map[int]int{}
	x.tools = nil
	for b, bed := range x.beds {
		tool := x.p.Beds[bed].Tool
		if _, known := at[tool]; !known {
			at[tool] = len(x.tools)
			x.tools = append(x.tools, tooled{nil, false, make([]int64, all+1), make([]place, all+1)})
		}
		t := &x.tools[at[tool]]
		t.beds = append(t.beds, b)
		t.parted = len(t.beds) > 1
	}
	for i := range x.tools {
		for _, k := range x.p.Kinds {
			x.tools[i].parted = x.tools[i].parted || k != x.p.Kinds[0]
		}
	}
	x.sum, x.first, x.with = make([]int64, all+1), make([]int, all+1), make([]int, all+1)
}

// tooled is the beds of one tool, and what each set of orders costs at least on
// them: in one cell, or in several where their inks differ, or the beds.
type tooled struct {
	beds   []int // as in exact.beds
	parted bool
	cost   []int64
	first  []place // of the cells of a set
}

// place is a set of orders on a bed, as in beds.
type place struct{ bed, set int }

// solve refines bounds until the cheapest partition by them is one of proved
// plans, or the steps are spent. It returns the cost that no partition
// undercuts, where each tool costs enter beside its cells.
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
			if tool := x.p.Beds[x.beds[c.bed]].Tool; !used[tool] {
				used[tool] = true
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
		p, ok := x.p.gang(x.beds[at.bed], orders)
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
// what their tools cost beside, and the cells. First each tool shares each set out
// over its own cells; then the tools share out all.
func (x *exact) partition(enter int64) (int64, []place) {
	all := len(x.sum) - 1
	for i := range x.tools {
		x.fill(&x.tools[i])
	}
	for set := 1; set <= all; set++ {
		x.with[set] = 0
		for i := range x.tools {
			if x.tools[i].cost[set] < x.tools[x.with[set]].cost[set] {
				x.with[set] = i
			}
		}
		low := set & -set
		rest := set ^ low
		x.sum[set] = never
		for sub := rest; ; sub = (sub - 1) & rest {
			part := sub | low
			if v := x.tools[x.with[part]].cost[part] + enter + x.sum[set^part]; v < x.sum[set] {
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
			t := &x.tools[x.with[x.first[set]]]
			for part := x.first[set]; part != 0; part ^= t.first[part].set {
				out = append(out, t.first[part])
			}
		}
	}
	return x.sum[all], out
}

// fill works out what sets cost on a tool's beds.
func (x *exact) fill(t *tooled) {
	one := make([]int64, len(t.cost)) // in one cell
	on := make([]int, len(t.cost))
	for set := 1; set < len(t.cost); set++ {
		one[set] = never
		for _, b := range t.beds {
			if low := x.cells[b][set].low; low < one[set] {
				one[set], on[set] = low, b
			}
		}
		t.cost[set], t.first[set] = one[set], place{on[set], set}
		if !t.parted {
			continue
		}
		low := set & -set
		rest := set ^ low
		for sub := (rest - 1) & rest; rest != 0; sub = (sub - 1) & rest {
			if v := one[sub|low] + t.cost[rest^sub]; v < t.cost[set] {
				t.cost[set], t.first[set] = v, place{on[sub|low], sub | low}
			}
			if sub == 0 {
				break
			}
		}
	}
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
		out = append(out, Cell{Bed: x.beds[c.bed], Orders: x.orders(c.set)})
	}
	return out
}
