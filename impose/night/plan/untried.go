package plan

import (
	"cmp"
	"fmt"
	"slices"

	"quoin/geometry/choose"
	"quoin/geometry/schedule"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

// TheseOrders is what a plan is proved for, beside all else, where later orders might
// have been printed early: which of them are is weighed by short searches.
const TheseOrders = "these orders"

// InMoney is added where orders are late: due days come before money, and no proof says
// that none need be.
const InMoney = "in money alone"

// untried is what a plan was searched for and not tried in every way.
type untried struct {
	plan *Plan
	in   *intake.Taken
}

// tell says in a note what of the plan was searched and not tried in every
// way, as there is too much of it: only the bound tells how good the plan is then. A
// proved plan has nothing to say, but for which orders are printed early.
func (u untried) tell() {
	p := u.plan
	list := u.early()
	if !p.Proved {
		list = append(list, u.choice()...)
		if p.money() {
			list = append(list, u.times()...)
		}
	}
	if len(list) > 0 {
		p.Notes = append(p.Notes, night.NoteOn("", night.NotTried, "not tried in every way, as there are too many: %s", say.List(list)))
	}
}

// early is about later orders.
func (u untried) early() []string {
	of := map[groupKey]int{}
	for o := range u.in.Early {
		of[keyOf(o, u.plan.rules)]++
	}
	most := 0
	for _, n := range of {
		most = max(most, n)
	}
	if most <= fewEarly {
		return nil
	}
	return []string{fmt.Sprintf("which of %s of one kind are printed early (of %d at most)", say.Count(most, "later order"), fewEarly)}
}

// choice is about presses, webs, dies, turns and which orders share runs.
func (u untried) choice() (list []string) {
	p := u.plan
	var orders []*intake.Order
	for _, g := range p.groups {
		orders = append(orders, g.orders...)
	}
	slices.SortFunc(orders, func(a, b *intake.Order) int { return cmp.Compare(a.Index, b.Index) })
	orders = slices.CompactFunc(orders, func(a, b *intake.Order) bool { return a.Index == b.Index })
	if len(orders) == 0 {
		return nil
	}
	most, kinds := 0, 0
	for _, f := range families(orders, nil, p.rules) {
		if f.free(p.rules) {
			most, kinds = max(most, len(f.orders)), max(kinds, slices.Max(f.kinds)+1)
		}
	}
	if most > choose.MostExact {
		what := "dies and turns"
		if p.money() {
			what = "presses, webs, dies, turns and inks"
		}
		list = append(list, fmt.Sprintf("%s of %s that might share runs (of %d at most)", what, say.Count(most, "order"), choose.MostExact))
	}
	if p.money() && kinds > mostKinds {
		list = append(list, fmt.Sprintf("mixes of %s of inks (of %d at most)", say.Count(kinds, "kind"), mostKinds))
	}
	if n := u.inkKinds(); !p.money() && n > fewGroups {
		list = append(list, fmt.Sprintf("joins of %s of inks on one bed (of %d at most)", say.Count(n, "kind"), fewGroups))
	}
	return list
}

// inkKinds is the most sets of inks that orders of one bed have.
func (u untried) inkKinds() (most int) {
	p := u.plan
	kinds := map[bed]map[string]bool{}
	for _, g := range p.groups {
		if g.alone() {
			continue
		}
		b := g.bed(p.rules)
		if kinds[b] == nil {
			kinds[b] = map[string]bool{}
		}
		for _, o := range g.orders {
			kinds[b][inksKey(o.PrintInks)] = true
		}
		most = max(most, len(kinds[b]))
	}
	return most
}

// times is about what passes between runs, and when they are printed.
func (u untried) times() (list []string) {
	p := u.plan
	if n := len(u.in.Orders); n > mostFew {
		list = append(list, fmt.Sprintf("what changes between the runs with every plan of %s (of %d at most)", say.Count(n, "order"), mostFew))
	}
	if n := len(p.groups); n > mostRebed {
		list = append(list, fmt.Sprintf("joins of groups and orders that change over, with those changes in sight, of %s (of %d at most)", say.Count(n, "group"), mostRebed))
	}
	for _, t := range p.tables {
		if t.most > schedule.MostExact {
			list = append(list, fmt.Sprintf("the sequence of %s of %s in one night (of %d at most)", say.Count(t.most, "run"), t.press.Name, schedule.MostExact))
		}
	}
	if n := len(u.in.Orders); n > manyDays && (p.Days != nil || len(p.Late) > 0) {
		list = append(list, fmt.Sprintf("plans by the days of %s (in one way only above %d)", say.Count(n, "order"), manyDays))
	}
	return list
}
