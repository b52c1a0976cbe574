package gang

import (
	"context"
	"fmt"
	"math/rand/v2"
)

// Limits says how long to search and from which seed.
type Limits struct {
	// Steps is the work allowed; 0 sets no limit, so that the search ends by a
	// proof or by the context. See StepsFor.
	Steps int64
	// Seed starts the random choices.
	Seed uint64
	// Elsewhere, for SolveAll, spends helpings that are worth it outside of this
	// process; nil: none. The plans are the same.
	Elsewhere Elsewhere
}

// Solve searches for the cheapest plan until it is proved, the steps are spent
// or ctx is done, and returns the best plan with its bounds. The error is that
// of Validate, or says that no plan keeps the limits.
func Solve(ctx context.Context, p Problem, l Limits) (Plan, Bounds, error) {
	s, err := newSolver(ctx, p, l.Seed, nil)
	if err != nil {
		return Plan{}, Bounds{}, err
	}
	s.search(l.Steps)
	return s.result()
}

// solver is one search. It can be given steps in several helpings.
type solver struct {
	p      Problem
	c      *core
	m      *meter
	rng    *rand.Rand
	proof  *proofs
	best   []run // nil until a plan is found
	cost   int64 // of best
	walk   *walk
	effort int64 // steps for the next exact attempts
	// stopped are exact searches to go on with, by number of runs; nil for
	// searches too short for that.
	stopped map[int]*narrower
	better  func(Plan, Bounds) // told of every better plan, when not nil

	swept   map[int]*sweep
	cells   map[int]*cells
	columns *columns
	priced  bool    // columns are done
	pins    *pinned // nil where no order is pinned
}

// noCost is the cost before there is a plan.
const noCost = 1 << 60

// newSolver makes a search that has its first plan.
func newSolver(ctx context.Context, p Problem, seed uint64, better func(Plan, Bounds)) (*solver, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if p.pinned() {
		return newPinned(ctx, p, seed, better)
	}
	c := newCore(&p)
	s := &solver{
		p: p, c: c, m: newMeter(ctx, 0), rng: rand.New(rand.NewPCG(seed, uint64(len(c.need)))),
		proof: newProofs(c), cost: noCost, effort: 20_000, better: better,
		stopped: map[int]*narrower{},
	}
	if s.proof.runs > c.runs {
		return nil, fmt.Errorf("%w: the orders need at least %d runs, %d are allowed", errNoPlan, s.proof.runs, c.runs)
	}
	s.offer(contiguous(c))
	s.offer(knownRuns(c, &p))
	return s, nil
}

// dive builds plans from the lanes and the prices of the covering LP.
func (s *solver) dive() {
	if s.c.strict() || s.c.capped || s.c.whole || mainlySwept(s.c) {
		return
	}
	s.offer(s.columns.round(s.m))
	for range 4 {
		if runs := s.c.dive(s.columns.price, s.m, s.rng); runs != nil {
			s.offer(runs)
		}
	}
}

// offer takes runs as the best plan if they are.
func (s *solver) offer(runs []run) bool {
	if runs == nil || len(runs) > s.c.runs {
		return false
	}
	cost := s.c.cost(runs)
	if cost >= s.cost {
		return false
	}
	s.best, s.cost = runs, cost
	if s.better != nil {
		s.better(s.c.planOf(&s.p, runs), s.bounds())
	}
	return true
}

// settled reports whether no cheaper plan is left to be found.
func (s *solver) settled() bool {
	return s.proof.bound(s.cost) >= s.cost || s.pins != nil && s.pins.ended
}

// search spends up to steps (0: no limit).
func (s *solver) search(steps int64) {
	s.m.limit = newMeter(s.m.ctx, 0).limit
	if steps > 0 {
		s.m.limit = s.m.used + steps
	}
	if s.pins != nil {
		s.searchPinned()
		return
	}
	for s.m.spend(1000) && !s.settled() {
		s.prove()
		if s.m.done() || s.settled() {
			return
		}
		s.m.part(s.effort/2, s.price)
		s.m.part(s.effort/2, s.dive)
		s.m.part(s.effort, s.improve)
		s.m.part(s.squeezing(), s.squeeze)
		s.effort *= 2
	}
}

// price raises the bound by the covering LP.
func (s *solver) price() {
	if s.priced || mainlySwept(s.c) {
		return
	}
	if s.columns == nil {
		s.columns = newColumns(s.c, s.m)
	}
	s.proof.cover = max(s.proof.cover, s.columns.solve())
	s.priced = !s.m.done()
}

// prove tries to settle each number of runs that may still be cheaper, the
// most promising first. It aims half way between what is proved and what is
// known, since a low target is settled soonest either way: it ends in a bound
// or in a much better plan. After a bound it aims for the whole.
func (s *solver) prove() {
	for _, t := range s.proof.open(s.cost, mostProved) {
		if s.sweeps(t) {
			continue
		}
		s.m.part(s.keen(t), func() {
			for half := true; !s.m.done(); {
				low, most := s.proof.least(t), (s.cost-1-s.c.b*int64(t))/s.c.a
				if low > most {
					return
				}
				sum := most
				if half {
					sum = low + (most-low)/2
				}
				if n := s.stopped[t]; n != nil {
					sum = min(n.sum, most)
				}
				runs, proved := s.exact(t, sum)
				s.offer(runs)
				if runs != nil {
					sum = totalLength(runs) - 1
				}
				if proved {
					s.proof.raise(t, sum+1)
				} else if runs == nil {
					return
				}
				half = runs != nil
			}
		})
	}
}

// keen is the effort for exact attempts at t runs. Where narrowing is to be
// relied on, it is worth more than all else.
func (s *solver) keen(t int) int64 {
	if suitsList(s.c, t) {
		return 4 * s.effort
	}
	return s.effort
}

// exact returns the shortest plan of t runs with a sum of lengths up to sum, and
// whether that is proved.
func (s *solver) exact(t int, sum int64) ([]run, bool) {
	switch {
	case t == 1 && !s.c.strict():
		r, ok := s.c.oneRun(s.c.need)
		if !ok || r > sum {
			return nil, true
		}
		one := run{r: r}
		for i := range s.c.need {
			one.parts = append(one.parts, part{i, s.c.lanes(i, r)})
		}
		return []run{one}, true
	case scarce(s.c, sum) && suitsList(s.c, t) && !crowded(s.c, t):
		return s.narrowed(t, sum)
	case suitsBox(s.c, t) && !crowded(s.c, t):
		return s.c.boxed(t, sum, s.m)
	case t <= mostBranched:
		return s.c.branch(t, sum, s.m)
	}
	return nil, false
}

// narrowed is exact by narrowing, and goes on with a search that was stopped.
func (s *solver) narrowed(t int, sum int64) ([]run, bool) {
	n := s.stopped[t]
	if n == nil {
		n = newNarrower(s.c, t, s.m)
	}
	n.sum = sum
	runs, ended := n.search()
	delete(s.stopped, t)
	if !ended && !n.lost && s.stopped != nil {
		s.stopped[t] = n
	}
	return runs, ended
}

// scarce reports whether a sum of lengths leaves so little beyond the volume
// that narrowing beats halving lengths alone: less than one part in 50.
func scarce(c *core, sum int64) bool {
	return 50*(c.cap*sum-load(c)) < c.cap*sum
}

// crowded reports whether t runs leave so few lanes beyond one for each order
// that placing the lanes one by one beats searching by lengths.
func crowded(c *core, t int) bool {
	spare := int64(t) * c.cap
	for i := range c.need {
		spare -= c.need[i].w
	}
	return t > 3 && spare < int64(t)
}

// mostBranched is the greatest number of runs that the exact search is tried
// for: with more the lengths leave it too much freedom.
const mostBranched = 6

// mostProved is the greatest number of runs that anything but the covering LP says more
// of than the volume and the prefixes of the orders.
const mostProved = max(mostBoxed, mostBranched)

func (s *solver) bounds() Bounds {
	step := max(s.p.Step, 1)
	b := Bounds{
		Cost: s.proof.bound(s.cost), Length: s.proof.volume * step, Runs: s.proof.runs, Steps: s.m.used,
	}
	b.Proved = b.Cost >= s.cost
	b.GapPercent = 100 * float64(s.cost-b.Cost) / float64(b.Cost)
	return b
}

func (s *solver) result() (Plan, Bounds, error) {
	if s.best == nil {
		return Plan{}, Bounds{}, fmt.Errorf("%w: none was found in at most %d runs; allow more runs, overs or steps", errNoPlan, s.c.runs)
	}
	return s.c.planOf(&s.p, s.best), s.bounds(), nil
}
