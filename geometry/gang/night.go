package gang

import (
	"cmp"
	"context"
	"runtime"
	"slices"
	"sync"
)

// Outcome is what SolveAll knows of one problem. Err is that of Solve.
type Outcome struct {
	Plan   Plan
	Bounds Bounds
	Err    error
}

// SolveAll solves the groups of a night on all cores. Limits.Steps is the work
// of all cores together. It is dealt out in rounds: in each, every group that
// is not proved gets a share, the greater the more its gap costs. The shares
// depend only on what earlier rounds found, so the plans do not depend on the
// number of cores or on their speed.
//
// A problem that fails has its error in its own outcome and stops no other.
// Better, when not nil, is told of every better plan for problems[i] and, after
// each round, of its bounds, one call at a time, in an order that may change.
func SolveAll(ctx context.Context, problems []Problem, l Limits, better func(i int, plan Plan, b Bounds)) []Outcome {
	n := night{
		solvers: make([]*solver, len(problems)), out: make([]Outcome, len(problems)),
		ctx: ctx, problems: problems, limits: l, better: better, far: make([]farther, len(problems)), told: make([][2]int64, len(problems)),
	}
	var told sync.Mutex
	each(len(problems), func(i int) {
		var tell func(Plan, Bounds)
		if better != nil {
			tell = func(p Plan, b Bounds) {
				told.Lock()
				defer told.Unlock()
				n.say(i, p, b)
			}
		}
		n.solvers[i], n.out[i].Err = newSolver(ctx, problems[i], l.Seed+uint64(i), tell)
	})
	n.search(ctx, l.Steps)
	for i, s := range n.solvers {
		switch {
		case s == nil:
		case n.far[i].at != nil:
			n.out[i].Plan, n.out[i].Bounds = n.far[i].at.Plan, n.far[i].at.Bounds
		default:
			n.out[i].Plan, n.out[i].Bounds, n.out[i].Err = s.result()
		}
	}
	return n.out
}

type night struct {
	solvers []*solver // nil where a problem has failed
	out     []Outcome

	ctx      context.Context
	problems []Problem
	limits   Limits
	better   func(int, Plan, Bounds)
	far      []farther  // what was spent elsewhere
	told     [][2]int64 // cost and bound that better was last told of
}

// firstSteps is what a group gets on average in the first round.
const firstSteps = 20_000

// search deals out rounds until all is proved or spent.
func (n *night) search(ctx context.Context, steps int64) {
	limited := steps > 0
	for round := int64(firstSteps); ; round *= 2 {
		open := n.open()
		if len(open) == 0 || ctx.Err() != nil {
			return
		}
		deal := round * int64(len(open))
		if limited {
			if steps < int64(len(open))*100 {
				return
			}
			// The last rounds share what is left in halves, so that what
			// groups return is dealt out again.
			deal = min(deal, max(steps/2, int64(len(open))*100))
		}
		steps -= n.deal(open, deal)
		n.tell(open)
	}
}

// tell says where the open groups stand, whose bounds may have risen though their
// plans are the same.
func (n *night) tell(open []int) {
	if n.better == nil {
		return
	}
	for _, i := range open {
		if at := n.far[i].at; at != nil {
			n.say(i, at.Plan, at.Bounds)
		} else if s := n.solvers[i]; s != nil && s.best != nil {
			n.say(i, s.c.planOf(&s.p, s.best), s.bounds())
		}
	}
}

// say tells of a plan and its bound, and of neither twice.
func (n *night) say(i int, p Plan, b Bounds) {
	if now := [2]int64{p.Cost, b.Cost}; n.told[i] != now {
		n.told[i] = now
		n.better(i, p, b)
	}
}

// open lists the groups that are not settled, the costliest gap first.
func (n *night) open() []int {
	var open []int
	for i, s := range n.solvers {
		if s != nil && !n.settled(i) {
			open = append(open, i)
		}
	}
	slices.SortStableFunc(open, func(a, b int) int { return cmp.Compare(n.gap(b), n.gap(a)) })
	return open
}

// gap is what group i may still save.
func (n *night) gap(i int) int64 {
	if at := n.far[i].at; at != nil {
		return at.Plan.Cost - at.Bounds.Cost
	}
	s := n.solvers[i]
	return s.cost - s.proof.bound(s.cost)
}

// deal lets the open groups spend steps and returns what they spent. A third is
// dealt evenly, the rest by gaps, but no group gets more than a quarter, which
// would leave cores idle.
func (n *night) deal(open []int, steps int64) int64 {
	var gaps float64
	for _, i := range open {
		gaps += float64(n.gap(i))
	}
	share := make([]int64, len(open))
	spent := make([]int64, len(open))
	for k, i := range open {
		share[k] = steps/3/int64(len(open)) + int64(float64(steps)/3*2*float64(n.gap(i))/gaps)
		share[k] = max(1, min(share[k], max(steps/4, steps/int64(len(open)))))
	}
	n.spend(open, share, spent)
	var sum int64
	for _, v := range spent {
		sum += v
	}
	return sum
}

// each calls f for 0..n-1 on all cores, in that order as cores get free.
func each(n int, f func(i int)) {
	next := make(chan int)
	var all sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	all.Wait()
}
