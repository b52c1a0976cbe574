package plan

import (
	"math"

	"quoin/geometry/gang"
	"quoin/impose/night"
)

// standing adds up what the groups of a search take so far, and their bounds, and
// tells whenever either moves. Calls come one at a time, as gang.SolveAll makes
// them.
type standing struct {
	rules  *night.Rules
	cost   []int64 // by group, in the measure's smallest unit; math.MaxInt64 without a plan
	bound  []int64
	proved []bool
	last   night.Standing
	more   [2]int64 // cost and bound of groups that are not searched any more
}

func newStanding(r *night.Rules, groups int) *standing {
	s := &standing{rules: r, cost: make([]int64, groups), bound: make([]int64, groups), proved: make([]bool, groups)}
	for i := range s.cost {
		s.cost[i] = math.MaxInt64
	}
	return s
}

// better notes what is known of a group.
func (s *standing) better(i int, p gang.Plan, b gang.Bounds) {
	s.cost[i], s.bound[i], s.proved[i] = p.Cost, b.Cost, b.Proved
	if s.rules.Stands == nil {
		return
	}
	now := night.Standing{By: s.rules.By, Groups: len(s.cost)}
	cost, bound := s.more[0], s.more[1]
	for k := range s.cost {
		if s.cost[k] == math.MaxInt64 {
			return // not every group has a plan yet
		}
		cost, bound = cost+s.cost[k], bound+s.bound[k]
		if s.proved[k] {
			now.Proved++
		}
	}
	unit := s.unit()
	now.Takes, now.Bound = float64(cost)/unit, float64(bound)/unit
	if bound > 0 {
		now.GapPercent = 100 * float64(cost-bound) / float64(bound)
	}
	if now != s.last {
		s.last = now
		s.rules.Stands(now)
	}
}

// unit is what a metre, a minute or a whole of the currency is in.
func (s *standing) unit() float64 {
	switch s.rules.By {
	case night.Minutes:
		return nanosPerMinute
	case night.Money:
		return unit(s.rules.House.Press.Prices.Currency) * grains
	}
	return 1e9 // nanometres
}

// settled counts the proved groups.
func (s *standing) settled() (n int) {
	for _, p := range s.proved {
		if p {
			n++
		}
	}
	return n
}

// kept adds what families take whose groups are not searched again.
func (s *standing) kept(all []*family, r *night.Rules) {
	for _, f := range all {
		if r.By != night.Money && f.same(r) {
			for _, g := range f.start {
				s.more[0], s.more[1] = s.more[0]+g.plan.Cost, s.more[1]+g.bounds.Cost
			}
		}
	}
}
