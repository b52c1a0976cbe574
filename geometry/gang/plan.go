package gang

import (
	"cmp"
	"fmt"
	"slices"
)

// Share is one order's part of a run.
type Share struct {
	// Order is the index into Problem.Orders.
	Order int
	// Lanes is the number of lanes or stations, above 0.
	Lanes int64
}

// Run is one set-up of the press.
type Run struct {
	// Length is what is printed, in the unit of Order.Demand; a whole number
	// of Problem.Step.
	Length int64
	// Shares lists the orders of the run by index.
	Shares []Share
}

// Plan is a set of runs that meets every order, the longest run first.
type Plan struct {
	Runs []Run
	// Length is the sum of the run lengths.
	Length int64
	// Cost is LengthCost*Length + RunCost*len(Runs).
	Cost int64
}

// PlanOf returns the plan of runs, or the first rule of the problem that they don't
// keep.
func (p *Problem) PlanOf(runs []Run) (Plan, error) {
	pl := Plan{Runs: runs}
	for i := range runs {
		pl.Length += runs[i].Length
	}
	pl.Cost = p.LengthCost*pl.Length + p.RunCost*int64(len(runs))
	return pl, pl.Check(p)
}

// produced returns what the plan yields of each of n orders, in the unit of
// Order.Demand.
func (pl *Plan) produced(n int) []int64 {
	made := make([]int64, n)
	for _, r := range pl.Runs {
		for _, s := range r.Shares {
			made[s.Order] += s.Lanes * r.Length
		}
	}
	return made
}

// Check proves that the plan keeps every rule of the problem and that its
// totals are right. It shares no code with the search.
func (pl *Plan) Check(p *Problem) error {
	if p.MaxRuns > 0 && len(pl.Runs) > p.MaxRuns {
		return fmt.Errorf("%d runs, at most %d allowed", len(pl.Runs), p.MaxRuns)
	}
	runsOf := make([]int, len(p.Orders))
	var length int64
	for t := range pl.Runs {
		r := &pl.Runs[t]
		if err := r.check(p); err != nil {
			return fmt.Errorf("run %d: %w", t+1, err)
		}
		for _, s := range r.Shares {
			runsOf[s.Order]++
		}
		length += r.Length
	}
	for i, made := range pl.produced(len(p.Orders)) {
		o := &p.Orders[i]
		switch {
		case made < o.Demand:
			return fmt.Errorf("order %s: %d produced, %d wanted", p.name(i), made, o.Demand)
		case o.Most > 0 && made > o.Most:
			return fmt.Errorf("order %s: %d produced, at most %d accepted", p.name(i), made, o.Most)
		case o.NoSplit && runsOf[i] > 1:
			return fmt.Errorf("order %s: split over %d runs", p.name(i), runsOf[i])
		}
	}
	if err := pl.checkPins(p); err != nil {
		return err
	}
	if length != pl.Length {
		return fmt.Errorf("length %d stated, runs add up to %d", pl.Length, length)
	}
	if cost := p.LengthCost*length + p.RunCost*int64(len(pl.Runs)); cost != pl.Cost {
		return fmt.Errorf("cost %d stated, runs add up to %d", pl.Cost, cost)
	}
	return nil
}

func (r *Run) check(p *Problem) error {
	switch {
	case r.Length <= 0 || r.Length%max(p.Step, 1) != 0:
		return fmt.Errorf("length %d is no multiple of %d above 0", r.Length, max(p.Step, 1))
	case r.Length < p.LeastLength:
		return fmt.Errorf("length %d is under %d", r.Length, p.LeastLength)
	case p.MaxOrders > 0 && len(r.Shares) > p.MaxOrders:
		return fmt.Errorf("%d orders share it, at most %d allowed", len(r.Shares), p.MaxOrders)
	}
	var used int64
	here := map[int]bool{}
	for _, s := range r.Shares {
		switch {
		case s.Order < 0 || s.Order >= len(p.Orders):
			return fmt.Errorf("names order %d of %d", s.Order, len(p.Orders))
		case s.Lanes <= 0:
			return fmt.Errorf("order %s has %d lanes", p.name(s.Order), s.Lanes)
		case here[s.Order]:
			return fmt.Errorf("order %s is listed twice", p.name(s.Order))
		}
		here[s.Order] = true
		used += s.Lanes * max(p.Orders[s.Order].Width, 1)
	}
	if used > p.Capacity {
		return fmt.Errorf("takes %d of the capacity %d", used, p.Capacity)
	}
	return nil
}

// sortRuns puts a plan into the one order that equal searches share: the
// longest run first, then by orders and lanes.
func (pl *Plan) sortRuns() {
	for t := range pl.Runs {
		slices.SortFunc(pl.Runs[t].Shares, func(x, y Share) int { return cmp.Compare(x.Order, y.Order) })
	}
	slices.SortStableFunc(pl.Runs, func(x, y Run) int {
		return cmp.Or(cmp.Compare(y.Length, x.Length), compareShares(x.Shares, y.Shares), cmp.Compare(len(y.Shares), len(x.Shares)))
	})
}

// compareShares orders by the first share that differs: the earlier order, or
// the more lanes of the same one, comes first.
func compareShares(x, y []Share) int {
	for k := range min(len(x), len(y)) {
		if c := cmp.Or(cmp.Compare(x[k].Order, y[k].Order), cmp.Compare(y[k].Lanes, x[k].Lanes)); c != 0 {
			return c
		}
	}
	return 0
}
