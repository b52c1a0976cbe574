package night

import (
	"context"

	"quoin/geometry/gang"
)

// mergeSteps is the work that goes into the question whether a merger pays.
const mergeSteps = 3000

// merge joins groups that differ only in their inks, where the joined runs
// take fewer minutes at the speed of all their inks together, and no more web.
// The best pair is joined first.
func merge(ctx context.Context, groups []*group, r *Rules) []*group {
	type bed struct {
		material string
		bed      string
		roll     int64
	}
	beds := map[bed][]*group{}
	var order []bed
	for _, g := range groups {
		if g.alone() {
			continue
		}
		b := bed{g.material, g.forme.bed(r), g.roll}
		if beds[b] == nil {
			order = append(order, b)
		}
		beds[b] = append(beds[b], g)
	}
	var out []*group
	for _, b := range order {
		out = append(out, mergeBed(ctx, beds[b], r)...)
	}
	for _, g := range groups {
		if g.alone() {
			out = append(out, g)
		}
	}
	return out
}

// quick is what a group takes after a short search; ok is false without a plan.
type quick struct {
	taken
	ok bool
}

func (g *group) quick(ctx context.Context, r *Rules) quick {
	all := g.orders
	p, left := g.problem(r)
	g.orders = all
	if len(left) > 0 || len(p.Orders) == 0 {
		return quick{}
	}
	plan, _, err := gang.Solve(ctx, p, gang.Limits{Steps: mergeSteps, Seed: r.Seed})
	return quick{g.takes(&plan), err == nil}
}

// mergeBed merges the groups of one material and bed.
func mergeBed(ctx context.Context, groups []*group, r *Rules) []*group {
	if len(groups) < 2 {
		return groups
	}
	own := make([]quick, len(groups))
	for i, g := range groups {
		own[i] = g.quick(ctx, r)
	}
	type pair struct {
		both  *group
		takes quick
		saves float64
	}
	tried := map[[2]*group]pair{}
	for {
		var best pair
		at := [2]int{}
		for i, g := range groups {
			for k := i + 1; k < len(groups); k++ {
				h := groups[k]
				key := [2]*group{g, h}
				p, ok := tried[key]
				if !ok {
					p = pair{saves: -1}
					if both, err := g.with(h, r); err == nil && own[i].ok && own[k].ok {
						p.both, p.takes = both, both.quick(ctx, r)
						apart := own[i].plus(own[k].taken)
						if p.takes.ok && p.takes.gross <= apart.gross {
							p.saves = apart.minutes - p.takes.minutes
						}
					}
					tried[key] = p
				}
				if p.saves > best.saves {
					best, at = p, [2]int{i, k}
				}
			}
		}
		if best.both == nil {
			return groups
		}
		groups[at[0]], own[at[0]] = best.both, best.takes
		groups = append(groups[:at[1]:at[1]], groups[at[1]+1:]...)
		own = append(own[:at[1]:at[1]], own[at[1]+1:]...)
	}
}
