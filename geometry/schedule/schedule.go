package schedule

import (
	"cmp"
	"math"
	"slices"
)

// Never is the due time of what is never late.
const Never = math.MaxInt64 / 4

// Problem is runs to be put in order. Times are in ticks of the caller's choice.
type Problem struct {
	Ticks  []int64 // that each run takes
	Due    []int64 // when each should have ended, or Never
	Weight []int64 // what a tick late counts, by run
	Begin  int64   // when the first may start
	// Change is what passes before a run, and what that costs; from is -1 before
	// the first.
	Change func(from, to int) (ticks, cost int64)
}

// Sequence is runs in their order.
type Sequence struct {
	Runs []int
	Late int64 // sum of weights times ticks late
	Cost int64 // of all changes
	End  int64
}

// Better reports whether s is to be preferred: less late, then cheaper, then over
// earlier.
func (s *Sequence) Better(t *Sequence) bool {
	return cmp.Or(cmp.Compare(s.Late, t.Late), cmp.Compare(s.Cost, t.Cost), cmp.Compare(s.End, t.End)) < 0
}

// Solve returns the best order that is found in about so many steps; few runs it
// settles.
func Solve(p *Problem, steps int64, seed uint64) Sequence {
	if len(p.Ticks) <= mostExact {
		return Exact(p)
	}
	return newSearch(p, steps, seed).run()
}

// Measure returns the runs in the given order with what it takes.
func (p *Problem) Measure(runs []int) Sequence {
	s := Sequence{Runs: runs, End: p.Begin}
	from := -1
	for _, r := range runs {
		ticks, cost := p.Change(from, r)
		s.End += ticks + p.Ticks[r]
		s.Cost += cost
		s.Late += p.late(r, s.End)
		from = r
	}
	return s
}

// late is what the end of a run counts.
func (p *Problem) late(r int, end int64) int64 {
	if end <= p.Due[r] {
		return 0
	}
	return (end - p.Due[r]) * p.Weight[r]
}

// mostExact is as many runs as are settled: with due dates a set of runs has
// several ways to end, of which none is better in all.
const mostExact = 11

// state is a way to have printed a set of runs.
type state struct {
	last            int
	end, late, cost int64
	before          *state
}

// Exact returns the best order of all, by dynamic programming over the sets of
// runs that are done. It is for a dozen of them.
func Exact(p *Problem) Sequence {
	n := len(p.Ticks)
	if n == 0 {
		return Sequence{End: p.Begin}
	}
	states := make([][][]*state, 1<<n) // by set and last run
	for set := range states {
		states[set] = make([][]*state, n)
	}
	for r := range n {
		ticks, cost := p.Change(-1, r)
		end := p.Begin + ticks + p.Ticks[r]
		states[1<<r][r] = []*state{{r, end, p.late(r, end), cost, nil}}
	}
	for set := 1; set < 1<<n; set++ {
		for last := range n {
			for _, s := range states[set][last] {
				for r := range n {
					if set>>r&1 == 1 {
						continue
					}
					ticks, cost := p.Change(last, r)
					end := s.end + ticks + p.Ticks[r]
					next := &state{r, end, s.late + p.late(r, end), s.cost + cost, s}
					to := &states[set|1<<r][r]
					*to = kept(*to, next)
				}
			}
		}
		if set != 1<<n-1 {
			states[set] = nil
		}
	}
	var best *state
	for last := range n {
		for _, s := range states[1<<n-1][last] {
			if best == nil || cmp.Or(cmp.Compare(s.late, best.late), cmp.Compare(s.cost, best.cost), cmp.Compare(s.end, best.end)) < 0 {
				best = s
			}
		}
	}
	out := Sequence{Late: best.late, Cost: best.cost, End: best.end}
	for s := best; s != nil; s = s.before {
		out.Runs = append(out.Runs, s.last)
	}
	slices.Reverse(out.Runs)
	return out
}

// kept adds a state to those of one set and last run, none of which is as good as
// another in all.
func kept(list []*state, s *state) []*state {
	for _, o := range list {
		if o.end <= s.end && (o.late < s.late || o.late == s.late && o.cost <= s.cost) {
			return list
		}
	}
	list = slices.DeleteFunc(list, func(o *state) bool {
		return s.end <= o.end && (s.late < o.late || s.late == o.late && s.cost <= o.cost)
	})
	return append(list, s)
}
