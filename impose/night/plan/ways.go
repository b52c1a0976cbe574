package plan

import (
	"cmp"
	"fmt"
	"slices"

	"quoin/geometry/choose"
	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// family is orders that a chain of common beds joins: whatever is chosen for
// others, they share runs with none but each other.
type family struct {
	orders []*intake.Order
	beds   []*way
	start  []*group // as each order lies by itself
	kinds  []int    // of inks, by order
	inks   int      // of all orders together

	// By money: what a further die costs as a rule, and whether its entry into each
	// counts in the bound.
	enter   int64
	entered bool

	groups []*group // as chosen
	apart  []*group // as chosen before runs of all beds were looked for together, with their runs
	bound  int64    // that no choice undercuts, in the measure of the plan
	proved bool     // that no choice costs less
}

// way is a bed with the orders that it takes.
type way struct {
	key  wayKey
	on   []*intake.Order // by place in the family, as they lie there; nil where they don't
	best *group          // of all that it takes, for its room and rates
}

// wayKey is a bed; orders that share no frame have theirs to themselves. But for
// money, which knows what speed and make-ready cost, inks are no choice: orders
// stay with those that print the same.
type wayKey struct {
	bed
	alone int
	inks  string
}

func wayOf(o *intake.Order, inks string, r *night.Rules) wayKey {
	key := wayKey{bedOf(o.Stock, o.Forme, o.RollFrames, r), -1, inks}
	if o.SharesNoFrame() {
		key.alone = o.Index
	}
	if r.By == night.Money {
		key.inks = ""
	}
	return key
}

func (g *group) way(r *night.Rules) wayKey { return wayOf(g.orders[0], inksKey(g.inks), r) }

func inksKey(inks []string) string { return fmt.Sprintf("%q", inks) }

// families puts the orders together that beds join, and gives each family its part
// of the groups, which are those of orders that lie as they do by themselves.
func families(orders []*intake.Order, groups []*group, r *night.Rules) []*family {
	together := joined[int]{}
	first := map[wayKey]int{}
	lies := make([][]lie, len(orders))
	place, inks := map[int]int{}, map[int]string{} // by index in the order file
	for _, g := range groups {
		for _, o := range g.orders {
			inks[o.Index] = inksKey(g.inks)
		}
	}
	for i, o := range orders {
		place[o.Index] = i
		if inks[o.Index] == "" {
			inks[o.Index] = inksKey(o.PrintInks)
		}
		for _, f := range o.Ways {
			on := o.On(f, r)
			key := wayOf(on, inks[o.Index], r)
			lies[i] = append(lies[i], lie{on, key})
			if other, known := first[key]; known {
				together.join(i, other)
			} else {
				first[key] = i
			}
		}
	}
	var out []*family
	of := map[int]*family{}
	for i, o := range orders {
		f := of[together.root(i)]
		if f == nil {
			f = &family{}
			of[together.root(i)] = f
			out = append(out, f)
		}
		f.orders = append(f.orders, o)
	}
	for _, f := range out {
		f.lie(lies, place, r)
	}
	for _, g := range groups {
		f := of[together.root(place[g.orders[0].Index])]
		f.start = append(f.start, g)
	}
	return out
}

// lie is an order as it lies on a bed.
type lie struct {
	*intake.Order
	key wayKey
}

// lie lists the family's beds, and the kinds of its inks.
func (f *family) lie(lies [][]lie, place map[int]int, r *night.Rules) {
	at, kinds := map[wayKey]*way{}, map[string]int{}
	var inks []string
	for i, o := range f.orders {
		kind := inksKey(o.PrintInks)
		if _, known := kinds[kind]; !known {
			kinds[kind] = len(kinds)
		}
		f.kinds, inks = append(f.kinds, kinds[kind]), union(inks, o.PrintInks)
		for _, on := range lies[place[o.Index]] {
			w := at[on.key]
			if w == nil {
				w = &way{key: on.key, on: make([]*intake.Order, len(f.orders))}
				at[on.key] = w
				f.beds = append(f.beds, w)
			}
			if w.on[i] == nil {
				w.on[i] = on.Order
			}
		}
	}
	f.inks = len(inks)
	for _, w := range f.beds {
		w.best, _ = newGroup(w.some(nil), r) // too many inks together are no matter here
	}
}

// some returns the orders at places of the family as they lie on the bed; all
// that it takes, where places are nil.
func (w *way) some(places []int) []*intake.Order {
	var out []*intake.Order
	if places == nil {
		for _, o := range w.on {
			if o != nil {
				out = append(out, o)
			}
		}
	}
	for _, i := range places {
		out = append(out, w.on[i])
	}
	return out
}

// free reports whether there is anything to choose.
func (f *family) free(r *night.Rules) bool {
	return len(f.beds) > 1 || r.By == night.Money && slices.Max(f.kinds) > 0
}

// problem states the family for the choice.
func (f *family) problem(r *night.Rules) *choose.Problem {
	p := &choose.Problem{Orders: len(f.orders), Kinds: f.kinds, Enter: f.enter}
	tools := map[tool]int{}
	for _, w := range f.beds {
		t := toolOf(w.best)
		if _, known := tools[t]; !known {
			tools[t] = len(tools)
		}
		b := w.bedOf(f, r)
		b.Tool = tools[t]
		p.Beds = append(p.Beds, b)
	}
	p.Together = bundles(f.orders, r)
	inks := [][]string(nil)
	p.Mixes, inks = f.mixes(r)
	p.Lane = f.laneCost(r)
	for _, o := range f.orders {
		p.Reels = append(p.Reels, int(o.PerRoll))
	}
	if f.entered {
		p.Entries = entering{f, r}.entries(tools, inks)
		p.LeastEnter = slices.MinFunc(p.Entries, func(a, b choose.Entry) int { return cmp.Compare(a.Cost, b.Cost) }).Cost
	}
	p.Gang = func(bed int, places []int) (gang.Problem, bool) {
		g, err := newGroup(f.beds[bed].some(places), r)
		if err != nil {
			return gang.Problem{}, false
		}
		x, left := g.problem(r)
		return x, len(left) == 0
	}
	return p
}

// bedOf states one of the family's beds.
func (w *way) bedOf(f *family, r *night.Rules) choose.Bed {
	b := choose.Bed{Rigid: w.best.roll > 0}
	capacity, _ := w.best.places(r)
	var widths []int64
	if widthsDiffer(w.best) {
		capacity, widths = bandShares(w.best)
	}
	b.Capacity = capacity
	b.Rows, b.Sort = int64(w.best.forme().Layout.Around), sorter{w.best, r}.price()
	house := w.best.forme().House(r.House)
	for inks := 0; inks <= f.inks; inks++ {
		if _, err := house.Terms(inks); err != nil {
			break
		}
		frame, once := rate(w.best, inks, r)
		b.Ladder = append(b.Ladder, choose.Rate{Length: frame, Run: once})
	}
	next := 0
	for _, o := range w.on {
		x := choose.Offer{}
		if o != nil {
			x.Width = 1
			if widths != nil {
				x.Width = widths[next]
			}
			next++
			one, err := newGroup([]*intake.Order{o}, r)
			if p, left := one.problem(r); err == nil && len(left) == 0 {
				x.Demand, x.Inks = p.Orders[0].Demand, len(o.PrintInks)
				b.Least = p.LeastLength
				b.Rigid = b.Rigid || p.Orders[0].Most > 0
			}
		}
		b.Offers = append(b.Offers, x)
	}
	return b
}

// cells returns groups as the choice knows them.
func (f *family) cells(groups []*group, r *night.Rules) []choose.Cell {
	place, bed := map[int]int{}, map[wayKey]int{}
	for i, o := range f.orders {
		place[o.Index] = i
	}
	for k, w := range f.beds {
		bed[w.key] = k
	}
	var out []choose.Cell
	for _, g := range groups {
		c := choose.Cell{Bed: bed[g.way(r)]}
		for _, o := range g.orders {
			c.Orders = append(c.Orders, place[o.Index])
		}
		if slices.IsSorted(c.Orders) {
			c.Runs = g.plan.Runs
		}
		slices.Sort(c.Orders)
		out = append(out, c)
	}
	return out
}

// take makes groups of cells.
func (f *family) take(cells []choose.Cell, r *night.Rules) ([]*group, error) {
	var out []*group
	for _, c := range cells {
		g, err := newGroup(f.beds[c.Bed].some(c.Orders), r)
		if err != nil {
			return nil, err
		}
		g.begun = c.Runs
		out = append(out, g)
	}
	slices.SortFunc(out, func(a, b *group) int { return a.orders[0].Index - b.orders[0].Index })
	return out, nil
}
