package plan

import (
	"cmp"
	"errors"
	"slices"

	"quoin/geometry"
	"quoin/geometry/gang"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

// group is the orders that may share runs: one material, one bed, one set of
// inks.
type group struct {
	orders []*intake.Order
	stock  string // kind of material
	inks   []string
	roll   int64 // frames of a lane that runs are a multiple of, for whole rolls; 0: any
	terms  geometry.Terms
	shift  geometry.Length // of the block off the web's centre
	press  *job.Press      // that prints; nil where nobody describes one
	// finishing is the line behind the press, which die-cuts what is printed.
	finishing job.Finishing

	was    []int      // of kept runs: their places in the earlier plan, from 1
	begun  []gang.Run // runs that are known before it is searched
	plan   gang.Plan  // in frames, of whole lanes or of stations
	bounds gang.Bounds
	// least is what no runs of the group cost less than with the sorting of their labels; 0:
	// nobody knows more than bounds.
	least int64
}

// newGroup returns the group of orders of one bed. Its runs cost what they do at
// the speed of all its inks.
func newGroup(orders []*intake.Order, r *night.Rules) (g *group, err error) {
	first := orders[0]
	g = &group{orders: orders, stock: first.Stock, roll: first.RollFrames, shift: r.House.Shift}
	for _, o := range orders {
		g.inks = union(g.inks, o.PrintInks)
	}
	house := first.Forme.House(r.House)
	if g.press = house.Press; g.press != nil {
		g.finishing = g.press.Finishing
	}
	g.terms, err = house.Terms(len(g.inks))
	return g, err
}

// forme returns that of one of the orders: the formes of a group differ in
// nothing but the label's width, and in what follows from it.
func (g *group) forme() *intake.Forme { return g.orders[0].Forme }

// groupUp puts the orders into groups. Orders that run alone are groups of
// their own. Inks, by places in the order file, are those that orders go by in the
// place of their own.
func groupUp(orders []*intake.Order, inks map[int]string, r *night.Rules) (groups []*group, err error) {
	var keys []groupKey
	of := map[groupKey][]*intake.Order{}
	for _, o := range orders {
		key := keyOf(o, r)
		if of, joined := inks[o.Index]; joined {
			key.inks = of
		}
		if of[key] == nil {
			keys = append(keys, key)
		}
		of[key] = append(of[key], o)
	}
	groups = make([]*group, len(keys))
	for i, key := range keys {
		if groups[i], err = newGroup(of[key], r); err != nil {
			return nil, err
		}
	}
	return groups, nil
}

// with returns the group of both groups' orders, which prints the inks of both.
func (g *group) with(h *group, r *night.Rules) (*group, error) {
	orders := slices.Concat(g.orders, h.orders)
	slices.SortFunc(orders, func(a, b *intake.Order) int { return cmp.Compare(a.Index, b.Index) })
	return newGroup(orders, r)
}

// union merges two sorted lists in which an ink stands as often as it hits.
func union(a, b []string) []string {
	var out []string
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(b) == 0 || len(a) > 0 && a[0] < b[0]:
			out, a = append(out, a[0]), a[1:]
		case len(a) == 0 || b[0] < a[0]:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, a[0]), a[1:], b[1:]
		}
	}
	return out
}

// alone reports whether the group is one order that shares no frame.
func (g *group) alone() bool { return len(g.orders) == 1 && g.orders[0].SharesNoFrame() }

// places returns how many lanes, or stations, a run can share out, and the labels
// that each yields in a frame. Where labels differ in width, lanes share the
// band, and places say nothing.
func (g *group) places(r *night.Rules) (places, each int64) {
	l := g.forme().Layout
	if r.Mixed {
		return int64(l.Labels()), 1
	}
	return int64(l.Across), int64(l.Around)
}

// problem states the group for the search: lengths in frames, costs in
// nanometres of web, nanoseconds of the press or grains of money. Orders that no run can meet
// are left out and come back with their reasons.
func (g *group) problem(r *night.Rules) (p gang.Problem, left []night.Note) {
	capacity, each := g.places(r)
	var widths []int64
	if widthsDiffer(g) {
		capacity, widths = bandShares(g)
	}
	repeat := g.forme().Layout.Repeat
	p = gang.Problem{
		Capacity: capacity, Step: g.roll, MaxOrders: r.MostIn,
		LeastLength: int64((r.LeastRun + repeat - 1) / repeat),
	}
	p.LengthCost, p.RunCost = rate(g, len(g.inks), r)
	kept := g.orders[:0:0]
	for i, o := range g.orders {
		want := gang.Order{Name: o.ID, Demand: g.need(o, each, r), NoSplit: o.Order.NoSplit || r.NoSplit}
		if widths != nil {
			want.Width = widths[i]
		}
		if o.Limit > 0 && !r.Scrap {
			// A frame is printed whole, so the labels of its last one are spent.
			want.Most = max(want.Demand, (o.Limit-o.Printed)/each)
		}
		one := p
		one.Orders = []gang.Order{want}
		switch err := one.Validate(); {
		case want.Most > 0 && want.Most < p.LeastLength:
			left = append(left, night.NoteOn(o.ID, night.TooShort, "the least run of %s m makes %s labels in one lane, the customer takes %s "+
				"(allow more overs, or shorter runs)", say.Exact(r.LeastRun.Metres()), say.Number(p.LeastLength*each), say.Number(o.Limit)))
			continue
		case errors.Is(err, gang.ErrTooLarge):
			left = append(left, night.NoteOn(o.ID, night.TooLarge, "%s", o.TooLarge()))
			continue
		case err != nil:
			left = append(left, night.NoteOn(o.ID, night.TooLarge, "%v", err))
			continue
		}
		p.Orders = append(p.Orders, want)
		kept = append(kept, o)
	}
	g.orders = kept
	if len(left) == 0 {
		p.Start = g.begun
	}
	pin(&p, kept, r)
	return p, left
}

// measure says how far the group's plan is from what none undercuts.
func (g *group) measure() {
	g.bounds.Proved = g.bounds.Cost == g.plan.Cost
	g.bounds.GapPercent = 100 * float64(g.plan.Cost-g.bounds.Cost) / float64(max(g.bounds.Cost, 1))
}

// runsCost returns what so many runs of all the group's inks cost, of a length in all,
// without what their rolls cost.
func runsCost(g *group, length int64, runs int, r *night.Rules) int64 {
	frame, once := rate(g, len(g.inks), r)
	return frame*length + once*int64(runs)
}

// rate returns what a run of so many inks costs for each frame, and once, in the
// measure of the plan.
func rate(g *group, inks int, r *night.Rules) (frame, once int64) {
	if r.By == night.Money {
		return tariffOf(g, inks, r).sum()
	}
	terms := g.terms
	if inks != len(g.inks) {
		terms, _ = g.forme().House(r.House).Terms(inks)
	}
	frame = costOf(terms.RunWaste.MoreLength(g.forme().Layout.Repeat), &terms, r)
	once = costOf(terms.Setup, &terms, r) + setUpCost(&terms, r)
	if once == 0 && r.By == night.Web && frame > 1 {
		once = 1 // of two equal webs the one with fewer runs
	}
	return frame, once
}

// costOf returns what so much web costs in the measure of the plan.
func costOf(web geometry.Length, t *geometry.Terms, r *night.Rules) int64 {
	if r.By != night.Minutes || t.Speed == 0 {
		return int64(web)
	}
	return int64(float64(web) / float64(t.Speed) * nanosPerMinute)
}

// setUpCost returns what a set-up costs beside its web.
func setUpCost(t *geometry.Terms, r *night.Rules) int64 {
	if r.By != night.Minutes {
		return 0
	}
	return int64(t.SetupMin * nanosPerMinute)
}

const nanosPerMinute = 60e9

// spent is what something takes of web, press and finishing line.
type spent struct {
	runs              int
	net, gross, setup geometry.Length
	minutes, finish   float64
}

func (a spent) plus(b spent) spent {
	return spent{a.runs + b.runs, a.net + b.net, a.gross + b.gross, a.setup + b.setup, a.minutes + b.minutes, a.finish + b.finish}
}

// run returns what a run of so many frames takes.
func (g *group) run(frames int64) spent {
	net := geometry.Length(frames) * g.forme().Layout.Repeat
	t := spent{runs: 1, net: net, setup: g.terms.Setup, gross: g.terms.RunWaste.MoreLength(net) + g.terms.Setup}
	if g.terms.Speed > 0 {
		t.minutes = float64(t.gross)/float64(g.terms.Speed) + g.terms.SetupMin
	}
	if line := g.finishing; line.DieCutting > 0 {
		t.finish = float64(t.gross)/float64(line.DieCutting) + line.SetupMin
	}
	return t
}

// takes returns what a plan of the group takes.
func (g *group) takes(p *gang.Plan) spent {
	var sum spent
	for _, run := range p.Runs {
		sum = sum.plus(g.run(run.Length))
	}
	return sum
}

// takes returns what the orders would take if each had a run of its own,
// under the same rules and at the speed of its own inks; only those that are
// printed count.
func (a apart) takes(printed map[int]bool) spent {
	g, r := a.group, a.rules
	var sum spent
	for _, o := range g.orders {
		if !printed[o.Index] {
			continue
		}
		own := *g
		if one, err := newGroup([]*intake.Order{o}, r); err == nil {
			own = *one
		}
		own.orders = []*intake.Order{o}
		places, each := own.places(r)
		sum = sum.plus(own.run(apart{&own, r}.frames(o, places, each)))
	}
	return sum
}
