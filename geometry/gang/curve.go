package gang

import (
	"context"
	"fmt"
)

// Point is the least length that was found for a number of runs.
type Point struct {
	// Runs is the number of runs allowed; Plan may take fewer.
	Runs int
	Plan Plan
	// GapPercent is by how much the plan's length exceeds what no plan of that
	// many runs undercuts.
	GapPercent float64
	Proved     bool
	bound      int64 // that length
}

// Curve returns the least length for each number of runs, from the least that
// will do to at most runs, so that a planner sees what one more set-up buys.
// Each point gets an equal part of Limits.Steps.
// Numbers of runs for which no plan was found are left out.
func Curve(ctx context.Context, p Problem, runs int, l Limits) ([]Point, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if p.MaxRuns > 0 {
		runs = min(runs, p.MaxRuns)
	}
	least := leastRuns(newCore(&p))
	if runs < least {
		return nil, fmt.Errorf("%w: the orders need at least %d runs, %d are allowed", errNoPlan, least, runs)
	}
	only := p
	only.RunCost = 0
	steps := l.Steps / int64(runs-least+1)
	if l.Steps > 0 {
		steps = max(1, steps)
	}
	var points []Point
	var before []run
	for t := least; t <= runs; t++ {
		only.MaxRuns = t
		s, err := newSolver(ctx, only, l.Seed, nil)
		if err != nil {
			return nil, err
		}
		s.offer(before)
		s.search(steps)
		if s.best == nil {
			continue
		}
		before = s.best
		points = append(points, Point{Runs: t, Plan: s.c.planOf(&p, s.best), bound: ceilDiv(s.bounds().Cost, p.LengthCost)})
	}
	// What is proved for more runs holds for fewer.
	for k := len(points) - 1; k >= 0; k-- {
		pt := &points[k]
		if k+1 < len(points) {
			pt.bound = max(pt.bound, points[k+1].bound)
		}
		pt.Proved = pt.bound >= pt.Plan.Length
		pt.GapPercent = 100 * float64(pt.Plan.Length-pt.bound) / float64(pt.bound)
	}
	if points == nil {
		return nil, fmt.Errorf("%w: none was found in at most %d runs", errNoPlan, runs)
	}
	return points, nil
}
