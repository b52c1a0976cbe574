package plan

import (
	"context"
	"slices"

	"quoin/geometry/gang"
	"quoin/impose/night"
)

// settle searches the groups that were chosen, and keeps for each family what
// costs least. Where nothing was chosen it keeps the first plan.
func settle(ctx context.Context, all []*family, groups []*group, left []night.Note, r *night.Rules) (*picked, error) {
	var open, apart []*group
	for _, f := range all {
		if r.By != night.Money && f.same(r) {
			f.groups = f.start // searched already
			continue
		}
		open = append(open, f.groups...)
	}
	if slices.ContainsFunc(all, func(f *family) bool { return f.apart != nil }) {
		for _, f := range all {
			if f.apart == nil { // as the others are, and searched beside them
				for _, g := range f.groups {
					f.apart = append(f.apart, new(*g))
				}
			}
			apart = append(apart, f.apart...)
		}
	}
	stands := newStanding(r, len(open))
	stands.kept(all, r)
	searchRuns(ctx, open, r, stands.better)
	searchRuns(ctx, apart, r, nil)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	out := &picked{}
	if r.By != night.Money && len(open) == 0 {
		out.groups, out.left = groups, left
		for _, f := range all {
			out.joint.add(f, f.start, r)
		}
		return out, nil
	}
	if r.By == night.Money && len(left) == 0 {
		out.joint.Visits = visitsOf(all, r)
		for _, f := range all {
			f.reprice(r)
		}
		out.others = append(out.others, groups)
	}
	dropped := map[string][]night.Note{}
	for _, n := range left {
		dropped[n.Order] = append(dropped[n.Order], n)
	}
	var older []*group
	for _, f := range all {
		kept := f.keep(r)
		if f.apart != nil {
			older = append(older, f.cheapest(r, f.start, f.apart)...)
		}
		out.groups = append(out.groups, kept...)
		if !f.complete(kept) {
			printed := map[int]bool{}
			for _, g := range kept {
				for _, o := range g.orders {
					printed[o.Index] = true
				}
			}
			for _, o := range f.orders {
				if !printed[o.Index] {
					out.left = append(out.left, dropped[o.ID]...)
				}
			}
		}
		out.joint.add(f, kept, r)
	}
	if r.By == night.Money && len(left) == 0 {
		lists := [][]*group{out.groups}
		if older != nil {
			out.others, lists = append(out.others, older), [][]*group{older, out.groups}
		}
		for _, list := range lists {
			better, least := rebed(ctx, all, list, r)
			if better != nil {
				out.others = append(out.others, better)
			}
			out.joint.Least = max(out.joint.Least, least)
		}
	}
	return out, ctx.Err()
}

// searchRuns looks for the runs of groups.
func searchRuns(ctx context.Context, groups []*group, r *night.Rules, better func(int, gang.Plan, gang.Bounds)) {
	var problems []gang.Problem
	for _, g := range groups {
		p, _ := g.problem(r)
		problems = append(problems, p)
	}
	steps := max(cores*gang.StepsFor(r.Time), 1)
	for i, o := range gang.SolveAll(ctx, problems, gang.Limits{Steps: steps, Seed: r.Seed}, better) {
		g := groups[i]
		g.plan, g.bounds = o.Plan, o.Bounds
		if o.Err != nil {
			g.plan.Runs = nil
		}
		g.begin(&problems[i], r)
	}
}

// same reports whether the groups chosen are those of the start.
func (f *family) same(r *night.Rules) bool {
	if f.groups == nil {
		return true
	}
	bed := map[int]wayKey{}
	of := map[int]int{}
	for k, g := range f.start {
		for _, o := range g.orders {
			bed[o.Index], of[o.Index] = g.way(r), k
		}
	}
	if len(f.groups) != len(f.start) {
		return false
	}
	for _, g := range f.groups {
		for _, o := range g.orders {
			if bed[o.Index] != g.way(r) || of[o.Index] != of[g.orders[0].Index] {
				return false
			}
		}
	}
	return true
}

// keep returns the family's groups that cost least.
func (f *family) keep(r *night.Rules) []*group {
	return f.cheapest(r, f.start, f.groups, f.apart)
}

// cheapest returns the groups that cost least, of those of the start, which need not
// hold all orders, and others; the first of these where none has a plan.
func (f *family) cheapest(r *night.Rules, start []*group, others ...[]*group) []*group {
	best, cost := others[0], f.cost(others[0], r)
	for _, x := range others[1:] {
		if v := f.cost(x, r); v >= 0 && (cost < 0 || v < cost) {
			best, cost = x, v
		}
	}
	if v := f.cost(start, r); cost < 0 || f.complete(start) && v >= 0 && v < cost {
		return start
	}
	return best
}

// cost returns what groups cost in the measure of the plan; -1 where some have no
// plan, or there is none.
func (f *family) cost(groups []*group, r *night.Rules) int64 {
	if len(groups) == 0 {
		return -1
	}
	var sum int64
	for _, g := range groups {
		if len(g.plan.Runs) == 0 {
			return -1
		}
		sum += g.prices().runs(g.plan.Length, len(g.plan.Runs), r) + reeling{g, r}.of(&g.plan)
	}
	return sum
}

// begin takes the runs that the search began with, where they cost less with their
// rolls, which the search does not know.
func (g *group) begin(p *gang.Problem, r *night.Rules) {
	if len(p.Start) == 0 || len(g.plan.Runs) == 0 {
		return
	}
	start, err := p.PlanOf(p.Start)
	if w := (reeling{g, r}); err == nil && start.Cost+w.of(&start) < g.plan.Cost+w.of(&g.plan) {
		g.plan = start
		g.measure()
	}
}

// reprice states the first plan, which was searched by web, in money.
func (f *family) reprice(r *night.Rules) {
	for _, g := range f.start {
		g.plan.Cost = g.prices().runs(g.plan.Length, len(g.plan.Runs), r)
		g.bounds.Cost = min(g.prices().runs(g.bounds.Length, g.bounds.Runs, r), g.plan.Cost)
		g.measure()
	}
}

// add counts a family in.
func (j *joint) add(f *family, kept []*group, r *night.Rules) {
	cost := max(f.cost(kept, r), 0) - f.leastRolls(r)
	dies := map[string]bool{}
	for _, g := range kept {
		dies[g.forme().Die] = true
	}
	with := cost + f.least*int64(len(dies))
	bound := f.bound
	if !f.free(r) {
		sum := int64(0)
		for _, g := range kept {
			sum += g.bounds.Cost
		}
		bound = max(bound, sum+f.least*int64(len(dies)))
	}
	bound = min(bound, with)
	j.Cost += cost
	j.Bound += bound
	j.Free = j.Free || f.free(r) && bound < with
}
