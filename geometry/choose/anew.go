package choose

import (
	"math"
	"slices"

	"quoin/geometry/gang"
)

// Limits of printing freed orders by geometry/gang: many short searches end lower than
// few long ones.
const (
	anewSteps = 4000
	mostAnew  = 40 // orders at a time
	fewRuns   = 5  // that are freed for it at a time
	manyRuns  = 5  // that are freed for the LP
)

// byGang prints a task on each grade of the freed runs that takes all of it, as
// geometry/gang finds its runs there, and returns the cheapest.
func (n *renewal) byGang(sub *task, freed []cast) (best []cast) {
	if len(sub.id) == 0 || len(sub.id) > mostAnew {
		return nil
	}
	least := math.Inf(1)
	var tried []int
	for _, c := range freed {
		if slices.Contains(tried, c.grade) {
			continue
		}
		tried = append(tried, c.grade)
		if list := n.onGrade(sub, c.grade); list != nil && sub.costs(list) < least {
			best, least = list, sub.costs(list)
		}
	}
	return best
}

// onGrade prints a task on one grade; nil where that doesn't take it all.
func (n *renewal) onGrade(sub *task, k int) []cast {
	g := &sub.grades[k]
	p := gang.Problem{Capacity: g.capacity, LengthCost: int64(math.Round(g.a)), RunCost: int64(math.Round(g.b)), LeastLength: g.least}
	for _, d := range sub.need[k] {
		if d == 0 {
			return nil
		}
		p.Orders = append(p.Orders, gang.Order{Demand: d})
	}
	plan, b, err := gang.Solve(sub.ctx, p, gang.Limits{Steps: anewSteps, Seed: n.rng.Uint64()})
	if *n.work += b.Steps * workPerStep; err != nil {
		return nil
	}
	var out []cast
	for _, r := range plan.Runs {
		c := cast{grade: k, r: r.Length}
		for _, s := range r.Shares {
			c.parts = append(c.parts, part{int32(s.Order), int32(s.Lanes)})
		}
		out = append(out, c)
	}
	return sub.tidy(out)
}
