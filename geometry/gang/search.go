package gang

import "context"

// Search is a search that is given its steps in helpings, so that a caller may
// ask many problems a little and go on with those that matter.
type Search struct{ s *solver }

// NewSearch begins a search, which may have a plan already. Errors are those of
// Solve.
func NewSearch(ctx context.Context, p Problem, seed uint64) (*Search, error) {
	s, err := newSolver(ctx, p, seed, nil)
	if err != nil {
		return nil, err
	}
	return &Search{s}, nil
}

// Go spends up to so many steps, above 0, and returns those that it spent.
func (s *Search) Go(steps int64) int64 {
	before := s.s.m.used
	s.s.search(steps)
	return s.s.m.used - before
}

// Cost returns the cost of the best plan so far; ok is false without one.
func (s *Search) Cost() (cost int64, ok bool) { return s.s.cost, s.s.best != nil }

// Bound returns the cost that no plan undercuts.
func (s *Search) Bound() int64 { return s.s.proof.bound(s.s.cost) }
