package schedule

import "slices"

// bySets puts the sets in order, without regard to when they are due, and prints all
// runs of a set one after the other, the earliest due first: by way of other runs nothing
// costs less. It is false where sets are not known, or say nothing.
func (p *Problem) bySets(steps int64, seed uint64) (Sequence, bool) {
	of := map[int][]int{}
	var first []int // run of each set
	for i, n := range p.Sets {
		if of[n] == nil {
			first = append(first, i)
		}
		of[n] = append(of[n], i)
	}
	if len(first) == 0 || len(first) == len(p.Ticks) {
		return Sequence{}, false
	}
	sets := &Problem{Ticks: make([]int64, len(first)), Dues: make([][]Due, len(first)), Change: func(from, to int) (int64, int64) {
		if from < 0 {
			return p.Change(from, first[to])
		}
		return p.Change(first[from], first[to])
	}}
	var runs []int
	for _, k := range Solve(sets, steps/2, seed).Runs {
		mine := of[p.Sets[first[k]]]
		slices.SortStableFunc(mine, p.byDue)
		runs = append(runs, mine...)
	}
	return p.Measure(runs), true
}

// due reports whether any run is due.
func (p *Problem) due() bool {
	return slices.ContainsFunc(p.Dues, func(d []Due) bool { return len(d) > 0 })
}
