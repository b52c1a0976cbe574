package plan

import (
	"context"
	"errors"
	"slices"

	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

// Orders that are pinned together must lie on one bed and print the inks of all;
// the search then keeps each set in one run, and those that are apart in
// different ones.

// pin tells the search of a group which of its orders are together or apart.
func pin(p *gang.Problem, orders []*intake.Order, r *night.Rules) {
	if !r.Pins.Any() {
		return
	}
	for _, set := range r.Pins.Together {
		if at := among(orders, set); len(at) > 1 {
			p.Together = append(p.Together, at)
		}
	}
	for _, set := range r.Pins.Apart {
		at := among(orders, set)
		for i := range at {
			for k := range at[:i] {
				p.Apart = append(p.Apart, [2]int{at[k], at[i]})
			}
		}
	}
}

// among returns where orders of a set stand, rising.
func among(orders []*intake.Order, set []string) (at []int) {
	for i, o := range orders {
		if slices.Contains(set, o.ID) {
			at = append(at, i)
		}
	}
	return at
}

// bundles returns the orders that are to be together, for each set those that are
// there, where these are several; what other sets join is one.
func bundles(orders []*intake.Order, r *night.Rules) (out [][]int) {
	var seen []string
	for _, set := range r.Pins.Together {
		if slices.Contains(seen, set[0]) {
			continue
		}
		all := r.Pins.With(set[0])
		seen = append(seen, all...)
		if at := among(orders, all); len(at) > 1 {
			out = append(out, at)
		}
	}
	return out
}

// units returns the orders in such sets, and every other order by itself.
func units(orders []*intake.Order, r *night.Rules) (out [][]*intake.Order) {
	taken := map[int]bool{}
	for _, at := range bundles(orders, r) {
		var set []*intake.Order
		for _, i := range at {
			set, taken[i] = append(set, orders[i]), true
		}
		out = append(out, set)
	}
	for i, o := range orders {
		if !taken[i] {
			out = append(out, []*intake.Order{o})
		}
	}
	return out
}

// tears reports whether a group of some of the orders would part some that are to
// be together.
func tears(some, all []*intake.Order, r *night.Rules) bool {
	return slices.ContainsFunc(r.Pins.Together, func(set []string) bool {
		here := len(among(some, set))
		return here > 0 && here < len(among(all, set))
	})
}

// lieTogether returns the orders with those that are to be together on one bed:
// that on which one run of them costs least. Inks are what the groups of such
// orders are told by, by their places in the order file. The error says why some
// can't share a run.
func lieTogether(ctx context.Context, orders []*intake.Order, r *night.Rules) (lying []*intake.Order, inks map[int]string, err error) {
	lying, inks = orders, map[int]string{}
	for _, at := range bundles(orders, r) {
		if len(lying) > 0 && &lying[0] == &orders[0] {
			lying = slices.Clone(orders)
		}
		var set []*intake.Order
		var all []string
		for _, i := range at {
			set = append(set, orders[i])
			all = union(all, orders[i].PrintInks)
		}
		best, err := onOneBed(ctx, set, r)
		if err != nil {
			return nil, nil, err
		}
		for k, i := range at {
			lying[i], inks[orders[i].Index] = best[k], inksKey(all)
		}
	}
	return lying, inks, nil
}

// onOneBed returns orders as they lie on the bed where one run of them costs
// least.
func onOneBed(ctx context.Context, set []*intake.Order, r *night.Rules) ([]*intake.Order, error) {
	if err := differ(set, r); err != nil {
		return nil, err
	}
	var best []*intake.Order
	least, why := int64(0), error(nil)
	for _, f := range set[0].Ways {
		first := set[0].On(f, r)
		key := wayOf(first, "", r)
		lie := []*intake.Order{first}
		for _, o := range set[1:] {
			k := slices.IndexFunc(o.Ways, func(f *intake.Forme) bool { return wayOf(o.On(f, r), "", r) == key })
			if k >= 0 {
				lie = append(lie, o.On(o.Ways[k], r))
			}
		}
		if len(lie) < len(set) {
			continue
		}
		cost, err := costTogether(ctx, lie, r)
		if err != nil && why == nil {
			why = err
		} else if err == nil && (best == nil || cost < least) {
			best, least = lie, cost
		}
	}
	switch {
	case best != nil:
		return best, nil
	case why != nil:
		return nil, unmet(set, "%s", say.WithHint(why))
	}
	return nil, unmet(set, "their labels share no die, web and turn (%s is %s, %s is %s)",
		set[0].ID, set[0].Forme.Label, set[1].ID, set[1].Forme.Label)
}

// costTogether returns what one run of orders costs.
func costTogether(ctx context.Context, set []*intake.Order, r *night.Rules) (int64, error) {
	g, err := newGroup(set, r)
	if err != nil {
		return 0, err
	}
	p, left := g.problem(r)
	if len(left) > 0 {
		return 0, errors.New(left[0].Order + ": " + left[0].Text)
	}
	if lanes, _ := g.places(r); !widthsDiffer(g) && lanes < int64(len(set)) {
		return 0, say.Refuse(say.NotFit, "", "a run has %s for them", say.Count(lanes, "lane"))
	}
	plan, _, err := gang.Solve(ctx, p, gang.Limits{Steps: mergeSteps, Seed: r.Seed})
	if err != nil {
		return 0, errors.New("no length of a run makes enough of each within the overs that are taken (allow more overs)")
	}
	return plan.Cost, nil
}

// differ says what keeps orders off one frame, whatever it is printed with.
func differ(set []*intake.Order, r *night.Rules) error {
	if r.MostIn > 0 && len(set) > r.MostIn {
		return unmet(set, "a run may hold %s", say.Count(r.MostIn, "order"))
	}
	for _, o := range set {
		switch {
		case o.DrugLabel:
			return unmet(set, "%s is a drug label, which shares no frame", o.ID)
		case o.SharesNoFrame():
			return unmet(set, "%s runs alone, as the customer wishes", o.ID)
		case o.Stock != set[0].Stock:
			return unmet(set, "%s is printed on %s, %s on %s", set[0].ID, named(set[0].Stock), o.ID, named(o.Stock))
		}
	}
	return nil
}

func named(stock string) string {
	if stock == "" {
		return "a material that nobody names"
	}
	return stock
}

// unmet refuses to print orders together.
func unmet(set []*intake.Order, format string, args ...any) error {
	var ids []string
	for _, o := range set {
		ids = append(ids, o.ID)
	}
	why := say.Refuse(say.NotFit, "", format, args...)
	return say.Refuse(say.NotFit, "leave out --together "+night.PinText(ids)+", or change what keeps them apart", "%s can't be printed in one run: %s", say.List(ids), why.Text)
}

// sameNight takes orders out of those that wait where others that they are to be
// together with do not.
func sameNight(waits []int, orders []*intake.Order, r *night.Rules) []int {
	for _, at := range bundles(orders, r) {
		due := slices.ContainsFunc(at, func(i int) bool { return !slices.Contains(waits, orders[i].Index) })
		for _, i := range at {
			if due {
				waits = slices.DeleteFunc(waits, func(w int) bool { return w == orders[i].Index })
			}
		}
	}
	return waits
}

// tellPins notes which orders are printed without one that they were to be
// together with.
func (p *Plan) tellPins(all []*intake.Order) {
	printed := map[string]bool{}
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			printed[s.Order] = true
		}
	}
	for _, o := range all {
		for _, id := range p.rules.Pins.With(o.ID)[1:] {
			if printed[o.ID] && !printed[id] {
				p.Notes = append(p.Notes, night.NoteOn(o.ID, night.PinOpen, "was to be printed with %s, which is not printed in this night", id))
			}
		}
	}
}

// pinnedWith returns the orders of a run that one of them is pinned together with.
func (g *group) pinnedWith(order int, shares []gang.Share, r *night.Rules) (ids []string) {
	all := r.Pins.With(g.orders[order].ID)[1:]
	for _, s := range shares {
		if id := g.orders[s.Order].ID; slices.Contains(all, id) {
			ids = append(ids, id)
		}
	}
	return ids
}
