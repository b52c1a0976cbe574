package gang

import (
	"fmt"
	"slices"
)

// pinned reports whether the planner has a say in which orders share runs.
func (p *Problem) pinned() bool { return len(p.Together) > 0 || len(p.Apart) > 0 }

// validatePins checks the pins of a problem whose orders are valid.
func (p *Problem) validatePins() error {
	n := len(p.Orders)
	in := func(i int) bool { return i >= 0 && i < n }
	for _, set := range p.Together {
		for k, i := range set {
			if !in(i) || slices.Contains(set[:k], i) {
				return fmt.Errorf("orders that are to be together name order %d of %d, or one of them twice", i, n)
			}
		}
	}
	for _, pair := range p.Apart {
		if !in(pair[0]) || !in(pair[1]) || pair[0] == pair[1] {
			return fmt.Errorf("orders that are to be apart name orders %d and %d of %d", pair[0], pair[1], n)
		}
	}
	of := p.units()
	for _, pair := range p.Apart {
		if of[pair[0]] == of[pair[1]] {
			return fmt.Errorf("orders %s and %s are to be together and apart", p.name(pair[0]), p.name(pair[1]))
		}
	}
	return nil
}

// units gives for each order the first of those that it must share its run with:
// itself, where it is free.
func (p *Problem) units() []int {
	of := make([]int, len(p.Orders))
	for i := range of {
		of[i] = i
	}
	for _, set := range p.Together {
		for _, i := range set {
			if a, b := of[set[0]], of[i]; a != b {
				for k := range of {
					if of[k] == a || of[k] == b {
						of[k] = min(a, b)
					}
				}
			}
		}
	}
	return of
}

// checkPins proves that runs keep the pins. It shares no code with the search.
func (pl *Plan) checkPins(p *Problem) error {
	holds := func(r *Run, order int) bool {
		return slices.ContainsFunc(r.Shares, func(s Share) bool { return s.Order == order })
	}
	for t := range pl.Runs {
		for _, pair := range p.Apart {
			if holds(&pl.Runs[t], pair[0]) && holds(&pl.Runs[t], pair[1]) {
				return fmt.Errorf("run %d holds orders %s and %s, which are to be apart", t+1, p.name(pair[0]), p.name(pair[1]))
			}
		}
	}
	for _, set := range p.Together {
		runs := 0
		for t := range pl.Runs {
			r := &pl.Runs[t]
			if !slices.ContainsFunc(set, func(i int) bool { return holds(r, i) }) {
				continue
			}
			runs++
			for _, i := range set {
				if !holds(r, i) {
					return fmt.Errorf("run %d lacks order %s, which is to be together with others of it", t+1, p.name(i))
				}
			}
		}
		if len(set) > 1 && runs != 1 {
			return fmt.Errorf("order %s is to be in one run with others, and is in %d", p.name(set[0]), runs)
		}
	}
	return nil
}

// relaxed is the problem without its pins: all that keeps them keeps this too,
// so that what no plan of this undercuts, none that keeps them does. Orders that
// are to be together stay in one run each.
func (p *Problem) relaxed() Problem {
	r := *p
	r.Together, r.Apart = nil, nil
	r.Orders = slices.Clone(p.Orders)
	for _, set := range p.Together {
		for _, i := range set {
			r.Orders[i].NoSplit = r.Orders[i].NoSplit || len(set) > 1
		}
	}
	return r
}
