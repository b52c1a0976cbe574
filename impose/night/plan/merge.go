package plan

import (
	"context"
	"slices"

	"quoin/geometry/gang"
	"quoin/impose/night"
)

// mergeSteps is the work that goes into the question whether a merger pays.
const mergeSteps = 3000

// merge joins groups that differ only in their inks, where the joined runs
// take fewer minutes at the speed of all their inks together, and no more web.
// Of few groups every way to share them out is tried, of many the best join is
// spent first. Groups that run alone stand at the end.
func merge(ctx context.Context, groups []*group, r *night.Rules) []*group {
	beds := map[bed][]*group{}
	var order []bed
	var alone []*group
	for _, g := range groups {
		if g.alone() {
			alone = append(alone, g)
			continue
		}
		b := g.bed(r)
		if beds[b] == nil {
			order = append(order, b)
		}
		beds[b] = append(beds[b], g)
	}
	merged := make([][]*group, len(order))
	onAllCores(len(order), func(i int) { merged[i] = mergeBed(ctx, beds[order[i]], r) })
	return append(slices.Concat(merged...), alone...)
}

// mergeBed merges the groups of one bed.
func mergeBed(ctx context.Context, groups []*group, r *night.Rules) []*group {
	if len(groups) < 2 {
		return groups
	}
	m := &merger{ctx: ctx, rules: r}
	parts := make([]*part, len(groups))
	for i, g := range groups {
		parts[i] = &part{g, g.quick(ctx, r)}
	}
	if len(parts) <= fewGroups {
		parts = m.bestShares(parts)
	} else {
		parts = m.grow(parts)
	}
	out := make([]*group, len(parts))
	for i, p := range parts {
		out[i] = p.group
	}
	return out
}

// quick is what a group takes after a short search; ok is false without a plan.
type quick struct {
	spent
	ok bool
}

func (g *group) quick(ctx context.Context, r *night.Rules) quick {
	all := g.orders
	p, left := g.problem(r)
	g.orders = all
	if len(left) > 0 || len(p.Orders) == 0 {
		return quick{}
	}
	plan, _, err := gang.Solve(ctx, p, gang.Limits{Steps: mergeSteps, Seed: r.Seed})
	return quick{g.takes(&plan), err == nil}
}

// minutes is what no plan of the group undercuts: all its labels side by
// side in one run.
func (l least) minutes() float64 {
	g, r := l.group, l.rules
	if widthsDiffer(g) {
		return g.run(bandLeast(g)).minutes
	}
	places, each := g.places(r)
	labels := int64(0)
	for _, o := range g.orders {
		labels += o.Quantity - o.Printed
	}
	return g.run((labels + places*each - 1) / (places * each)).minutes
}

// regrouped reports whether some orders could have been grouped otherwise: they
// share material and bed, and differ in their inks, or were planned one by one where
// no plan was found for all. What is proved of a plan is then proved for the groups
// that were chosen.
func regrouped(groups []*group, r *night.Rules) bool {
	inks := map[bed][]string{}
	for _, g := range groups {
		if g.alone() {
			continue
		}
		b := g.bed(r)
		if _, twice := inks[b]; twice {
			return true
		}
		for _, o := range g.orders {
			first, known := inks[b]
			if !known {
				inks[b] = o.PrintInks
			} else if !slices.Equal(first, o.PrintInks) {
				return true
			}
		}
	}
	return false
}
