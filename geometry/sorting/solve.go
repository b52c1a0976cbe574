package sorting

// Solve looks for a plan that costs less than another, whose runs are known, and returns
// what no plan costs less than; no plan without sorting costs less than least. The plan
// has no runs where none was found.
func (p *Problem) Solve(known []Run, below, least int64) (Plan, int64) {
	one := p.oneRun(below + 1)
	many := max(least, p.Frame*p.volume()+2*p.Run)
	bound := max(least, min(below, one.Cost, many))
	if other := p.refine(known); other.Cost < min(one.Cost, below) {
		return other, bound
	}
	if one.Cost >= below {
		return Plan{}, bound
	}
	return one, bound
}

// refine shares the places of each run out again, so that the fewest are sorted while the
// others stay as they are.
func (p *Problem) refine(known []Run) Plan {
	var out Plan
	left := append([]int64{}, p.Needs...)
	for _, run := range known {
		for i, n := range run.Places {
			left[i] -= n * run.Length
		}
	}
	for _, run := range known {
		for i, n := range run.Places {
			left[i] += n * run.Length
		}
		places, sorted, ok := p.placed(left, run.Length, p.Places)
		if !ok {
			return Plan{Cost: never}
		}
		for i, n := range places {
			left[i] -= n * run.Length
		}
		out.Runs = append(out.Runs, Run{run.Length, places})
		out.Cost += p.Run + run.Length*(p.Frame+p.Sort*sorted)
	}
	return out
}
