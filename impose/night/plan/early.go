package plan

import (
	"cmp"
	"context"
	"math"
	"slices"

	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// An order that is due later is printed tonight where that takes less than
// tonight's orders and it would take apart: because it fills a lane that would
// otherwise be blank, never because it is due soon.

// fewEarly is how many early orders of a group are tried one against the other;
// of more, each is tried once, in at most mostLots lots.
const (
	fewEarly = 12
	mostLots = 40
)

// waiting returns the early orders that gain nothing by being printed tonight, by
// their places in the order file. They are weighed among the orders that lie as
// they do by themselves.
func waiting(ctx context.Context, in *intake.Taken, r *night.Rules) (waits []int, err error) {
	if len(in.Early) == 0 || r.AllEarly {
		return nil, nil
	}
	groups, err := groupUp(in.Orders, nil, r)
	if err != nil {
		return nil, err
	}
	for _, g := range groups {
		var due, soon []*intake.Order
		for _, o := range g.orders {
			if in.Early[o] {
				soon = append(soon, o)
			} else {
				due = append(due, o)
			}
		}
		if len(soon) == 0 {
			continue
		}
		e := earliness{ctx: ctx, rules: r, due: due}
		taken := e.best(soon)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for _, o := range rest(soon, taken) {
			waits = append(waits, o.Index)
		}
	}
	slices.Sort(waits)
	return sameNight(waits, in.Orders, r), nil
}

// earliness weighs which early orders of a group to print tonight.
type earliness struct {
	ctx   context.Context
	rules *night.Rules
	due   []*intake.Order
}

// best returns those of the early orders that gain by being printed tonight.
func (e *earliness) best(soon []*intake.Order) []*intake.Order {
	if len(e.due) == 0 {
		return nil
	}
	soon = slices.Clone(soon)
	slices.SortStableFunc(soon, func(a, b *intake.Order) int { return a.Due.Compare(b.Due) })
	lots := slices.Collect(slices.Chunk(soon, (len(soon)+mostLots-1)/mostLots))
	var taken []*intake.Order
	least := e.cost(soon, nil)
	for again := true; again && e.ctx.Err() == nil; {
		again = false
		best, at := least, -1
		for i, lot := range lots {
			if lot == nil {
				continue
			}
			cost := e.cost(soon, slices.Concat(taken, lot))
			if cost >= best {
				continue
			}
			if best, at = cost, i; len(soon) > fewEarly { // each is tried once
				taken, least = slices.Concat(taken, lot), cost
				lots[i] = nil
			}
		}
		if at >= 0 && len(soon) <= fewEarly {
			taken, least, again = slices.Concat(taken, lots[at]), best, true
			lots[at] = nil
		}
	}
	if e.cost(soon, soon) < least { // several may fill what one can't
		return soon
	}
	return taken
}

// cost returns what tonight takes with the taken orders, and another night with
// those that wait.
func (e *earliness) cost(soon, taken []*intake.Order) float64 {
	return e.of(slices.Concat(e.due, taken)) + e.of(rest(soon, taken))
}

// of returns the cost of the orders by a short search.
func (e *earliness) of(orders []*intake.Order) float64 {
	if len(orders) == 0 {
		return 0
	}
	slices.SortFunc(orders, func(a, b *intake.Order) int { return cmp.Compare(a.Index, b.Index) })
	g, err := newGroup(orders, e.rules)
	if err != nil {
		return math.Inf(1)
	}
	p, left := g.problem(e.rules)
	if len(left) > 0 || len(p.Orders) == 0 {
		return math.Inf(1)
	}
	plan, _, err := gang.Solve(e.ctx, p, gang.Limits{Steps: mergeSteps, Seed: e.rules.Seed})
	if err != nil {
		return math.Inf(1)
	}
	return float64(plan.Cost)
}

func rest(list, taken []*intake.Order) []*intake.Order {
	return slices.DeleteFunc(slices.Clone(list), func(o *intake.Order) bool { return slices.Contains(taken, o) })
}
