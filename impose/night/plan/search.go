package plan

import (
	"context"
	"errors"

	"quoin/geometry/gang"
	"quoin/impose/night"
)

// cores is how many share the search: the work is counted for so many, however
// many the machine has, so that the plan is the same everywhere.
const cores = 2

// search plans all groups. Groups without a plan give up their orders, each
// with the reason.
func search(ctx context.Context, groups []*group, r *night.Rules) (kept []*group, left []night.Note) {
	var problems []gang.Problem
	for _, g := range groups {
		p, out := g.problem(r)
		left = append(left, out...)
		if len(g.orders) > 0 {
			problems = append(problems, p)
			kept = append(kept, g)
		}
	}
	groups, kept = kept, nil
	steps := max(cores*gang.StepsFor(r.Time), 1)
	stands := newStanding(r, len(problems))
	outcomes := gang.SolveAll(ctx, problems, gang.Limits{Steps: steps, Seed: r.Seed, Elsewhere: r.Search}, func(i int, p gang.Plan, b gang.Bounds) {
		before := stands.settled()
		if stands.better(i, p, b); stands.settled() > before {
			r.Progress("groups proved", stands.settled(), len(problems))
		}
	})
	for i, o := range outcomes {
		g := groups[i]
		if o.Err == nil {
			g.plan, g.bounds = o.Plan, o.Bounds
			kept = append(kept, g)
			continue
		}
		more, refused := g.each(ctx, r, o.Err)
		kept, left = append(kept, more...), append(left, refused...)
	}
	return kept, left
}

// each plans the orders of a group that has no plan one by one, or with those that
// they are to be together with, so that only those that nothing can be done for are
// left out.
func (g *group) each(ctx context.Context, r *night.Rules, why error) (kept []*group, left []night.Note) {
	sets := units(g.orders, r)
	for _, set := range sets {
		one := *g
		one.orders = set
		p, _ := one.problem(r)
		err := why
		if len(sets) > 1 {
			one.plan, one.bounds, err = gang.Solve(ctx, p, gang.Limits{Steps: mergeSteps, Seed: r.Seed})
		}
		if err != nil && !errors.Is(err, context.Canceled) {
			for _, o := range set {
				left = append(left, night.NoteOn(o.ID, night.NoPlan, "%v", err))
			}
			continue
		}
		kept = append(kept, &one)
	}
	return kept, left
}
