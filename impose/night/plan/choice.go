package plan

import (
	"cmp"
	"context"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"quoin/geometry/choose"
	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/thrift"
)

// What a plan is proved for where some orders might have been printed with another
// die or turn, and no proof says that it takes more. Without dies, and but for
// money, each label keeps the turn that it takes the least web in alone.
const (
	TheseDies  = "these dies and turns"
	TheseTurns = "these turns"
	// EveryWay is what bound and gap hold for by money: all that the planner is
	// free to choose, each order on one press, web and die.
	EveryWay = "all presses, webs, dies, turns and inks together"
)

// joint is what is known of all families together: of every way that the planner
// was free to choose.
type joint struct {
	Cost, Bound int64 // the bound with what the dies cost at least
	Free        bool  // some family had a choice, and is not proved
	Visits      visits
	// Least is what no plan costs less than with the changes between its runs and
	// without its rolls, where the orders are few; 0: nobody knows.
	Least int64
}

// picked is the end of the search.
type picked struct {
	groups []*group
	others [][]*group // by money: other plans that print all orders, that to beat among them
	left   []night.Note
	joint  joint
	short  []shortage // groups of the first plans for which there is too little web in stock
	prices shadows    // of webs of which there is too little
	before *Before    // an earlier plan; nil where there is none
	days   *Days      // what keeping due days costs; nil where nothing was done for them
}

// mostAmple is for how many orders memory may be collected late: they hold little.
const mostAmple = 5000

// choices plans the orders: first as each lies by itself, which is the plan to
// beat, and then in company on every bed that serves. No family costs more in the
// end than it did at first.
func choices(ctx context.Context, orders []*intake.Order, r *night.Rules) (*picked, error) {
	orders, inks, err := lieTogether(ctx, orders, r)
	if err != nil {
		return nil, err
	}
	groups, err := groupUp(orders, inks, r)
	if err != nil {
		return nil, err
	}
	first := *r
	if r.By == night.Money {
		first.By, first.Time = night.Web, r.Time/8 // it is but the plan to beat
	}
	groups, left := search(ctx, merge(ctx, groups, &first), &first)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	all := families(orders, groups, r)
	var free []*family
	for _, f := range all {
		if r.By == night.Money || f.free(r) {
			free = append(free, f)
		}
	}
	if len(free) == 0 {
		return &picked{groups: groups, left: left}, nil
	}
	if r.By == night.Money {
		enterAll(all, r)
	}
	if len(orders) <= mostAmple {
		defer thrift.Collect(thrift.Ample)()
	}
	if err := chooseAll(ctx, free, r); err != nil {
		return nil, err
	}
	return settle(ctx, all, groups, left, r)
}

// chooseAll chooses the beds of each family, on all cores. The work is shared out
// by the number of orders.
func chooseAll(ctx context.Context, free []*family, r *night.Rules) error {
	orders := 0
	for _, f := range free {
		orders += len(f.orders)
	}
	steps := cores * gang.StepsFor(r.Time) / 2
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for k, i := range largestFirst(free) {
		g.Go(func() error {
			f := free[i]
			share := max(steps*int64(len(f.orders))/int64(orders), 1)
			return f.choose(ctx, gang.Limits{Steps: share, Seed: r.Seed + uint64(i)}, r)
		})
		r.Progress("ways to print", k+1, len(free))
	}
	return g.Wait()
}

// largestFirst returns the places of families, those of most orders first: a large one
// at the end would keep but one core busy.
func largestFirst(all []*family) []int {
	places := make([]int, len(all))
	for i := range places {
		places[i] = i
	}
	slices.SortStableFunc(places, func(a, b int) int { return cmp.Compare(len(all[b].orders), len(all[a].orders)) })
	return places
}

// choose takes the cheapest beds that are found for the family.
func (f *family) choose(ctx context.Context, l gang.Limits, r *night.Rules) error {
	p := f.problem(r)
	keep := r.By != night.Money && r.House.Dies == nil
	p.OnlyBound = keep
	var starts [][]choose.Cell
	if f.complete(f.start) {
		starts = append(starts, f.cells(f.start, r))
	}
	c := choose.Choose(ctx, p, starts, l)
	f.bound, f.proved = c.Bound, c.Proved
	if c.Lanes > 0 {
		f.bound = max(f.bound, c.Lanes-f.leastRolls(r))
	}
	if err := ctx.Err(); err != nil || len(c.Cells) == 0 || keep {
		return err
	}
	var err error
	if f.groups, err = f.take(c.Cells, r); err != nil || len(c.Apart) == 0 {
		return err
	}
	f.apart, err = f.take(c.Apart, r)
	for _, g := range f.apart {
		p, _ := g.problem(r)
		if plan, err := p.PlanOf(g.begun); err == nil {
			g.plan = plan
		}
	}
	return err
}

// complete reports whether groups hold all of the family's orders.
func (f *family) complete(groups []*group) bool {
	n := 0
	for _, g := range groups {
		n += len(g.orders)
	}
	return n == len(f.orders)
}
