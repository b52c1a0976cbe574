package night

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/geometry/gang"
	"quoin/impose/job"
)

// group is the orders that may share runs: one material, one bed, one set of
// inks.
type group struct {
	orders   []*order
	material string
	forme    *forme // of one of its orders: they differ in nothing but the label's width
	inks     []string
	roll     int64 // frames of a lane that runs are a multiple of, for whole rolls; 0: any
	terms    geometry.Terms
	shift    geometry.Length // of the block off the web's centre
	// finishing is the line behind the press, which die-cuts what is printed.
	finishing job.Finishing

	plan   gang.Plan // in frames, of whole lanes or of stations
	bounds gang.Bounds
}

// groupUp puts the orders into groups. Orders that run alone are groups of
// their own.
func groupUp(orders []*order, r *Rules) ([]*group, error) {
	var groups []*group
	at := map[string]*group{}
	for _, o := range orders {
		m := material(r, o.Order)
		key := fmt.Sprintf("%q %s %q %d", m, o.forme.bed(r), o.inks, o.roll)
		if o.alone() {
			key = fmt.Sprintf("alone %d", o.at)
		}
		g, ok := at[key]
		if !ok {
			g = &group{material: m, forme: o.forme, inks: o.inks, roll: o.roll}
			if err := g.price(r); err != nil {
				return nil, err
			}
			at[key] = g
			groups = append(groups, g)
		}
		g.orders = append(g.orders, o)
	}
	return groups, nil
}

// with gives the group of both groups' orders, which prints the inks of both.
func (g *group) with(h *group, r *Rules) (*group, error) {
	both := &group{material: g.material, forme: g.forme, roll: g.roll, inks: union(g.inks, h.inks)}
	both.orders = slices.Concat(g.orders, h.orders)
	slices.SortFunc(both.orders, func(a, b *order) int { return cmp.Compare(a.at, b.at) })
	return both, both.price(r)
}

// price looks up what the group's runs cost: at the speed of all its inks.
func (g *group) price(r *Rules) (err error) {
	if p := r.House.Press; p != nil {
		g.finishing = p.Finishing
	}
	g.shift = r.House.Shift
	g.terms, err = r.House.RunTerms(len(g.inks))
	return err
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
func (g *group) alone() bool { return len(g.orders) == 1 && g.orders[0].alone() }

// places gives how many lanes, or stations, a run can share out, and the labels
// that each yields in a frame. Where labels differ in width, lanes share the
// band, and places say nothing.
func (g *group) places(r *Rules) (places, each int64) {
	l := g.forme.layout
	if r.Mixed {
		return int64(l.Labels()), 1
	}
	return int64(l.Across), int64(l.Around)
}

// problem states the group for the search: lengths in frames, costs in
// nanometres of web or nanoseconds of the press. Orders that no run can meet
// are left out and come back with their reasons.
func (g *group) problem(r *Rules) (p gang.Problem, left []Note) {
	capacity, each := g.places(r)
	var widths []int64
	if g.banded() {
		capacity, widths = g.band()
	}
	repeat := g.forme.layout.Repeat
	p = gang.Problem{
		Capacity: capacity, Step: g.roll, MaxOrders: r.MostIn,
		LeastLength: int64((r.LeastRun + repeat - 1) / repeat),
		LengthCost:  r.cost(g.terms.RunWaste.MoreLength(repeat), &g.terms),
		RunCost:     r.cost(g.terms.Setup, &g.terms) + r.setUpCost(&g.terms),
	}
	if p.RunCost == 0 && r.By == Web && p.LengthCost > 1 {
		p.RunCost = 1 // of two equal webs the one with fewer runs
	}
	kept := g.orders[:0:0]
	for i, o := range g.orders {
		want := gang.Order{Name: o.ID, Demand: g.need(o, each, r), NoSplit: o.Order.NoSplit || r.NoSplit}
		if widths != nil {
			want.Width = widths[i]
		}
		if o.limit > 0 && !r.Scrap {
			// A frame is printed whole, so the labels of its last one are taken.
			want.Most = max(want.Demand, o.limit/each)
		}
		one := p
		one.Orders = []gang.Order{want}
		switch err := one.Validate(); {
		case want.Most > 0 && want.Most < p.LeastLength:
			left = append(left, Note{o.ID, TooShort, fmt.Sprintf("the least run of %g m makes %d labels in one lane, the customer takes %d "+
				"(allow more overs, or shorter runs)", r.LeastRun.Metres(), p.LeastLength*each, o.limit)})
			continue
		case errors.Is(err, gang.ErrTooLarge):
			left = append(left, Note{o.ID, TooLarge, o.tooLarge()})
			continue
		case err != nil:
			left = append(left, Note{o.ID, TooLarge, err.Error()})
			continue
		}
		p.Orders = append(p.Orders, want)
		kept = append(kept, o)
	}
	g.orders = kept
	return p, left
}

// cost is what so much web costs in the measure of the plan.
func (r *Rules) cost(web geometry.Length, t *geometry.Terms) int64 {
	if r.By != Minutes || t.Speed == 0 {
		return int64(web)
	}
	return int64(float64(web) / float64(t.Speed) * nanosPerMinute)
}

// setUpCost is what a set-up costs beside its web.
func (r *Rules) setUpCost(t *geometry.Terms) int64 {
	if r.By != Minutes {
		return 0
	}
	return int64(t.SetupMin * nanosPerMinute)
}

const nanosPerMinute = 60e9

// taken is what something takes of web, press and finishing line.
type taken struct {
	runs              int
	net, gross, setup geometry.Length
	minutes, finish   float64
}

func (a taken) plus(b taken) taken {
	return taken{a.runs + b.runs, a.net + b.net, a.gross + b.gross, a.setup + b.setup, a.minutes + b.minutes, a.finish + b.finish}
}

// run gives what a run of so many frames takes.
func (g *group) run(frames int64) taken {
	net := geometry.Length(frames) * g.forme.layout.Repeat
	t := taken{runs: 1, net: net, setup: g.terms.Setup, gross: g.terms.RunWaste.MoreLength(net) + g.terms.Setup}
	if g.terms.Speed > 0 {
		t.minutes = float64(t.gross)/float64(g.terms.Speed) + g.terms.SetupMin
	}
	if line := g.finishing; line.DieCutting > 0 {
		t.finish = float64(t.gross)/float64(line.DieCutting) + line.SetupMin
	}
	return t
}

// takes gives what a plan of the group takes.
func (g *group) takes(p *gang.Plan) taken {
	var sum taken
	for _, run := range p.Runs {
		sum = sum.plus(g.run(run.Length))
	}
	return sum
}

// ordersAlone gives what the orders would take if each had a run of its own
// over all lanes; only those that are printed count.
func (g *group) ordersAlone(r *Rules, printed map[*order]bool) taken {
	var sum taken
	for _, o := range g.orders {
		if own := (&group{forme: o.forme}); printed[o] {
			places, each := own.places(r)
			sum = sum.plus(g.run(g.aloneFrames(o, places, each, r)))
		}
	}
	return sum
}
