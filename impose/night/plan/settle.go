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
	var open []*group
	for _, f := range all {
		if r.By != night.Money && f.same(r) {
			f.groups = f.start // searched already
			continue
		}
		open = append(open, f.groups...)
	}
	chosen := len(open)
	var apart []*group
	for _, f := range all {
		apart = append(apart, f.rivals(r)...)
	}
	if chosen > mostRebed { // of many each gets a part of the same time
		open, apart = append(open, apart...), nil
	}
	stands := newStanding(r, chosen)
	stands.kept(all, r)
	searchRuns(ctx, open, r, func(i int, p gang.Plan, b gang.Bounds) {
		if i < chosen {
			stands.better(i, p, b)
		}
	})
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
	for _, f := range all {
		kept := f.keep(r)
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
		if other := otherwise(all, r); other != nil && !slices.Equal(other, out.groups) {
			out.others, lists = append(out.others, other), [][]*group{other, out.groups}
		}
		better, least := rebed(ctx, all, lists, r)
		out.others, out.joint.Least = append(out.others, better...), max(out.joint.Least, least)
	}
	return out, ctx.Err()
}

// begunShare is the part of the time that is enough for groups whose runs were looked
// for together with those of other beds.
const begunShare = 2

// searchRuns looks for the runs of groups.
func searchRuns(ctx context.Context, groups []*group, r *night.Rules, better func(int, gang.Plan, gang.Bounds)) {
	var problems []gang.Problem
	for _, g := range groups {
		p, _ := g.problem(r)
		problems = append(problems, p)
	}
	steps := cores * gang.StepsFor(r.Time)
	if !slices.ContainsFunc(groups, func(g *group) bool { return len(g.begun) == 0 }) {
		steps /= begunShare
	}
	for i, o := range gang.SolveAll(ctx, problems, gang.Limits{Steps: max(steps, 1), Seed: r.Seed}, better) {
		g := groups[i]
		g.plan, g.bounds = o.Plan, o.Bounds
		if o.Err != nil {
			g.plan.Runs = nil
		}
		g.begin(&problems[i], r)
		sorter{g, r}.improve(&problems[i])
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

// rival is by how much what was found otherwise may cost more, to be searched on.
const rival = 1.02

// rivals returns the groups that were found otherwise, where they cost hardly more
// than those chosen.
func (f *family) rivals(r *night.Rules) []*group {
	for _, g := range f.groups {
		p, left := g.problem(r)
		if plan, err := p.PlanOf(g.begun); err == nil && len(left) == 0 {
			g.plan = plan
		}
	}
	apart, chosen := f.cost(f.apart, r), f.cost(f.groups, r)
	if apart < 0 || chosen > 0 && float64(apart) > rival*float64(chosen) {
		return nil
	}
	return f.apart
}

// otherwise returns the night without the runs of all beds that were looked for
// together: where changes between runs weigh much, it may be the better start. nil where
// no family has others, or some has no plan.
func otherwise(all []*family, r *night.Rules) (out []*group) {
	any := false
	for _, f := range all {
		list := f.groups
		if f.apart != nil {
			list, any = f.apart, true
		}
		was, now := f.cost(f.start, r), f.cost(list, r)
		if f.complete(f.start) && was >= 0 && (now < 0 || was < now) {
			list, now = f.start, was
		}
		if now < 0 {
			return nil
		}
		out = append(out, list...)
	}
	if !any {
		return nil
	}
	return out
}

// keep returns the family's groups that cost least, of those of the start, which need
// not hold all orders, and those chosen.
func (f *family) keep(r *night.Rules) []*group {
	best, cost := f.groups, f.cost(f.groups, r)
	for _, list := range [][]*group{f.apart, f.start} {
		if v := f.cost(list, r); f.complete(list) && v >= 0 && v < cost {
			best, cost = list, v
		}
	}
	if cost < 0 {
		return f.start
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
		sum += runsCost(g, g.plan.Length, len(g.plan.Runs), r) + reeling{g, r}.of(&g.plan)
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
		g.plan.Cost = runsCost(g, g.plan.Length, len(g.plan.Runs), r)
		g.bounds.Cost = min(runsCost(g, g.bounds.Length, g.bounds.Runs, r), g.plan.Cost)
		g.measure()
	}
}

// add counts a family in.
func (j *joint) add(f *family, kept []*group, r *night.Rules) {
	cost := max(f.cost(kept, r), 0) - f.leastRolls(r)
	enter := entering{f, r}.of(kept)
	with := cost + enter
	bound := f.bound
	if !f.free(r) {
		sum := int64(0)
		for _, g := range kept {
			sum += g.bounds.Cost
		}
		bound = max(bound, sum+enter)
	}
	bound = min(bound, with)
	j.Cost += cost
	j.Bound += bound
	j.Free = j.Free || f.free(r) && bound < with
}
