package plan

import (
	"math"

	"quoin/geometry/gang"
	"quoin/geometry/sorting"
	"quoin/impose/job"
	"quoin/impose/night"
)

// Sorting as a price. Where lanes may hold several orders, the search counts frames and
// runs; here the runs of a group are weighed with what it costs to sort its labels.

// sorter is a group with what it costs to sort its labels.
type sorter struct {
	group *group
	rules *night.Rules
}

// sortPrice is what it costs to sort a label, in grains.
func sortPrice(p *job.Prices) int64 {
	return int64(math.Round(p.PerSorted * unit(p.Currency) * grains))
}

// price returns what it costs to sort a label of the group, in grains; 0 where nothing is
// sorted.
func (w sorter) price() int64 {
	if w.rules.By != night.Money || !w.rules.Mixed || widthsDiffer(w.group) {
		return 0
	}
	return sortPrice(pricesOf(w.group, w.rules))
}

// of returns what it costs to sort the labels of a plan of the group.
func (w sorter) of(p *gang.Plan) (sum int64) {
	price := w.price()
	if price == 0 {
		return 0
	}
	for _, run := range p.Runs {
		x := filling{rows: int64(w.group.forme().Layout.Around)}
		for _, s := range run.Shares {
			x.of = append(x.of, s.Lanes)
		}
		sum += price * run.Length * x.sorted()
	}
	return sum
}

// problem states the group with its price; g is how the search knows it.
func (w sorter) problem(g *gang.Problem) *sorting.Problem {
	p := &sorting.Problem{
		Places: g.Capacity, Rows: int64(w.group.forme().Layout.Around), Least: g.LeastLength,
		Frame: g.LengthCost, Run: g.RunCost, Sort: w.price(),
	}
	for _, o := range g.Orders {
		p.Needs = append(p.Needs, o.Demand)
	}
	return p
}

// improve takes runs that cost less with their sorting, and notes what none undercut.
func (w sorter) improve(p *gang.Problem) {
	g := w.group
	if w.price() == 0 || p.Step > 1 || len(g.plan.Runs) == 0 {
		return
	}
	cost := g.plan.Cost + w.of(&g.plan)
	var known []sorting.Run
	for _, run := range g.plan.Runs {
		x := sorting.Run{Length: run.Length, Places: make([]int64, len(p.Orders))}
		for _, s := range run.Shares {
			x.Places[s.Order] += s.Lanes
		}
		known = append(known, x)
	}
	found, bound := w.problem(p).Solve(known, cost, g.bounds.Cost)
	g.least = min(bound, cost)
	var runs []gang.Run
	for _, run := range found.Runs {
		x := gang.Run{Length: run.Length}
		for i, n := range run.Places {
			if n > 0 {
				x.Shares = append(x.Shares, gang.Share{Order: i, Lanes: n})
			}
		}
		runs = append(runs, x)
	}
	if plan, err := p.PlanOf(runs); len(runs) > 0 && err == nil && plan.Cost+w.of(&plan) < cost {
		g.plan = plan
		g.measure()
	}
}
