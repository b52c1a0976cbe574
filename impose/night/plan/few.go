package plan

import (
	"cmp"
	"math/bits"
	"slices"

	"quoin/geometry/gang"
	"quoin/geometry/schedule"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// mostFew is of how many orders every plan is weighed: every way to part them into
// groups, every bed for each, with what changes between them.
const mostFew = 8

// few weighs every plan of few orders. A set of them on a bed is a cell, known by what
// it costs at least, and after a look by what it costs.
type few struct {
	*rebedding
	orders []*intake.Order
	cells  []*fewCell
	of     [][]*fewCell // by the first order
	floor  []int64      // of sets: what they cost at least without changes
	left   int64
	// lasting says that no plan counts that takes more web than there is.
	lasting bool
	least   int64   // that no plan undercuts, its rolls left out
	share   float64 // the least of all cells
}

type fewCell struct {
	set    int
	w      *way
	places []int
	low    int64
	share  float64 // of it that is left, where rests of rolls are used up
	looked bool
	group  *group // with its runs after a look; nil: it can't be printed so
	as     *group // for its set-up
}

// weigh finds the groups that cost least of all, where the orders are few. It returns
// what none costs less than, without what their rolls cost and with all that rests of
// them save; 0 where that is not known.
func (b *rebedding) weigh(all []*family) int64 {
	x := &few{rebedding: b, share: 1, left: cores * gang.StepsFor(b.rules.Time)}
	for _, f := range all {
		x.orders = append(x.orders, f.orders...)
	}
	if len(x.orders) > mostFew || !x.list(all) {
		return 0
	}
	x.look()
	whole := len(x.floor) - 1
	x.lay(whole, 0, nil)
	x.least = x.cost
	x.bound(whole, 0, nil)
	if b.ctx.Err() != nil {
		return 0
	}
	return x.least
}

// list states the cells; false where some order has no bed.
func (x *few) list(all []*family) bool {
	at := map[int]int{}
	for i, o := range x.orders {
		at[o.Index] = i
	}
	x.of = make([][]*fewCell, len(x.orders))
	for _, f := range all {
		for local := 1; local < 1<<len(f.orders); local++ {
			set := 0
			var places []int
			for i, o := range f.orders {
				if local>>i&1 == 1 {
					set |= 1 << at[o.Index]
					places = append(places, o.Index)
				}
			}
			for _, w := range f.beds {
				as := x.unplanned(w, places)
				if as == nil {
					continue
				}
				c := &fewCell{set: set, w: w, places: places, low: x.volume(as), share: withRests(as, x.rules), as: as}
				x.share = min(x.share, c.share)
				x.cells = append(x.cells, c)
				first := bits.TrailingZeros(uint(set))
				x.of[first] = append(x.of[first], c)
			}
		}
	}
	x.reckon()
	return x.floor[len(x.floor)-1] < schedule.Never
}

// volume is what a group costs at least: its labels side by side in one run, or in as
// many as it has orders too many for the band.
func (x *few) volume(g *group) int64 {
	frame, once := rate(g, len(g.inks), x.rules)
	if widthsDiffer(g) {
		return once
	}
	capacity, each := g.places(x.rules)
	sum, runs := int64(0), (int64(len(g.orders))+capacity-1)/capacity
	longest := int64(0)
	for _, o := range g.orders {
		need := g.need(o, each, x.rules)
		sum, longest = sum+need, max(longest, (need+capacity-1)/capacity)
	}
	return frame*max(longest, (sum+capacity-1)/capacity) + once*runs
}

// reckon works out what sets of orders cost at least.
func (x *few) reckon() {
	all := 1 << len(x.orders)
	one := slices.Repeat([]int64{schedule.Never}, all)
	for _, c := range x.cells {
		one[c.set] = min(one[c.set], c.low)
	}
	x.floor = slices.Repeat([]int64{schedule.Never}, all)
	x.floor[0] = 0
	for set := 1; set < all; set++ {
		first := set & -set
		for sub := set; sub > 0; sub = (sub - 1) & set {
			if sub&first != 0 {
				x.floor[set] = min(x.floor[set], one[sub]+x.floor[set^sub])
			}
		}
	}
}

// look finds the runs of all cells that might be part of a plan cheaper than the best.
func (x *few) look() {
	all := len(x.floor) - 1
	hope := func(c *fewCell) int64 { return c.low + x.floor[all^c.set] }
	for {
		var open []*fewCell
		for _, c := range x.cells {
			if !c.looked && hope(c) < x.cost {
				open = append(open, c)
			}
		}
		if len(open) == 0 || x.left <= 0 || x.ctx.Err() != nil {
			return
		}
		slices.SortStableFunc(open, func(a, b *fewCell) int { return cmp.Compare(hope(a), hope(b)) })
		for _, c := range open[:min(len(open), 32)] {
			c.looked = true
			if c.group = x.on(c.w, c.places); c.group == nil {
				c.low = schedule.Never
				continue
			}
			x.left -= c.group.bounds.Steps + 100
			c.low = max(c.low, c.group.bounds.Cost, c.group.least)
		}
		x.reckon()
	}
}

// lay takes groups for what is open, in every way that may cost less than the best.
func (x *few) lay(open int, cost int64, cells []*fewCell) {
	if open == 0 {
		if cost += x.between(cells); cost < x.cost {
			var groups []*group
			for _, c := range cells {
				groups = append(groups, c.group)
			}
			if !x.lasting || len(overdrawn(groups)) == 0 {
				x.cost, x.best = cost, groups
			}
		}
		return
	}
	for _, c := range x.of[bits.TrailingZeros(uint(open))] {
		if c.group == nil || c.set&^open != 0 {
			continue
		}
		v := cost + c.group.plan.Cost + reeling{c.group, x.rules}.of(&c.group.plan)
		if v+x.floor[open^c.set] < x.cost {
			x.lay(open^c.set, v, append(slices.Clip(cells), c))
		}
	}
}

// withRests is what is left at least of the cost of a run, as a part of it, where all
// its web comes from the lot that costs least.
func withRests(g *group, r *night.Rules) float64 {
	s, price := shelfOf(g), webPrice(g, r)
	low := s.cheapest(r)
	if low == s.price(r) || low >= price {
		return 1
	}
	t := tariffOf(g, len(g.inks), r)
	frame, once := t.sum()
	saved := 1 - low/price
	return 1 - saved*max(float64(t[ItemWeb].frame+t[ItemWaste].frame)/float64(max(frame, 1)), float64(t[ItemMakeReady].once)/float64(max(once, 1)))
}

// bound takes cells for what is open by what they cost at least.
func (x *few) bound(open int, cost int64, cells []*fewCell) {
	if open == 0 {
		x.least = min(x.least, cost+x.between(cells))
		return
	}
	for _, c := range x.of[bits.TrailingZeros(uint(open))] {
		if c.low >= schedule.Never || c.set&^open != 0 {
			continue
		}
		v := cost + int64(c.share*float64(c.low))
		if v+int64(x.share*float64(x.floor[open^c.set])) < x.least {
			x.bound(open^c.set, v, append(slices.Clip(cells), c))
		}
	}
}

// between is what changes between groups cost.
func (x *few) between(cells []*fewCell) (sum int64) {
	on := map[*job.Press][]*group{}
	for _, c := range cells {
		on[c.as.press] = append(on[c.as.press], c.as)
	}
	for _, mine := range on {
		sum += x.change(mine)
	}
	return sum
}
