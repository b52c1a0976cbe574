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
	Ticks []int64 // that each run takes
	Dues  [][]Due // by which each should have ended, the earliest first
	Begin int64   // when the first may start
	// Sets are runs by what the press is set up with for them, where that is known:
	// between two of one number nothing passes, and before and behind them the same.
	Sets []int
	// Change is what passes before a run, and what that costs; from is -1 before
	// the first.
	Change func(from, to int) (ticks, cost int64)
}

// Due is a time by which some of a run should be ready, and what that counts: the
// orders that are due then, by their priority.
type Due struct{ At, Weight int64 }

// Sequence is runs in their order.
type Sequence struct {
	Runs   []int
	Missed int64 // sum of the weights of dues that are not kept
	Late   int64 // sum of these times the ticks late
	Cost   int64 // of all changes
	End    int64
}

// Compare is below 0 where s is to be preferred: it misses less, is less late, is
// cheaper, is over earlier, the first of these that differs.
func (s *Sequence) Compare(t *Sequence) int {
	return cmp.Or(cmp.Compare(s.Missed, t.Missed), cmp.Compare(s.Late, t.Late), cmp.Compare(s.Cost, t.Cost), cmp.Compare(s.End, t.End))
}

// Better reports whether s is to be preferred.
func (s *Sequence) Better(t *Sequence) bool { return s.Compare(t) < 0 }

// Solve returns the best order that is found in about so many steps; few runs it
// settles.
func Solve(p *Problem, steps int64, seed uint64) Sequence {
	if len(p.Ticks) <= mostExact {
		return Exact(p)
	}
	if s, ok := p.bySets(steps, seed); ok {
		if !p.due() {
			return s
		}
		return newSearch(p, steps/2, seed).run(s.Runs)
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
		missed, late := p.late(r, s.End)
		s.Missed, s.Late = s.Missed+missed, s.Late+late
		from = r
	}
	return s
}

// late is what the end of a run counts.
func (p *Problem) late(r int, end int64) (missed, late int64) {
	for _, d := range p.Dues[r] {
		if end <= d.At {
			break
		}
		missed, late = missed+d.Weight, late+d.Weight*(end-d.At)
	}
	return missed, late
}

// mostExact is as many runs as are settled: with due dates a set of runs has
// several ways to end, of which none is better in all.
const mostExact = 11

// state is a way to have printed a set of runs.
type state struct {
	last                    int
	end, missed, late, cost int64
	before                  *state
}

// compare is below 0 where s misses less, is less late or cheaper.
func (s *state) compare(t *state) int {
	return cmp.Or(cmp.Compare(s.missed, t.missed), cmp.Compare(s.late, t.late), cmp.Compare(s.cost, t.cost))
}

// then returns the state with one more run.
func (p *Problem) then(s *state, r int) *state {
	next := &state{last: r, before: s}
	from := -1
	if s == nil {
		next.end = p.Begin
	} else {
		from, next.end, next.missed, next.late, next.cost = s.last, s.end, s.missed, s.late, s.cost
	}
	ticks, cost := p.Change(from, r)
	next.end, next.cost = next.end+ticks+p.Ticks[r], next.cost+cost
	missed, late := p.late(r, next.end)
	next.missed, next.late = next.missed+missed, next.late+late
	return next
}

// Exact returns the best order of all, by dynamic programming over the sets of
// runs that are done. It is for a dozen of them.
func Exact(p *Problem) Sequence {
	n := len(p.Ticks)
	if n == 0 {
		return Sequence{End: p.Begin}
	}
	if s, ok := p.timeless(); ok {
		return s
	}
	return p.byStates()
}

// byStates is Exact of some runs.
func (p *Problem) byStates() Sequence {
	n := len(p.Ticks)
	states := make([][][]*state, 1<<n) // by set and last run
	for set := range states {
		states[set] = make([][]*state, n)
	}
	for r := range n {
		states[1<<r][r] = []*state{p.then(nil, r)}
	}
	for set := 1; set < 1<<n; set++ {
		for last := range n {
			for _, s := range states[set][last] {
				for r := range n {
					if set>>r&1 == 1 {
						continue
					}
					to := &states[set|1<<r][r]
					*to = kept(*to, p.then(s, r))
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
			if best == nil || cmp.Or(s.compare(best), cmp.Compare(s.end, best.end)) < 0 {
				best = s
			}
		}
	}
	out := Sequence{Missed: best.missed, Late: best.late, Cost: best.cost, End: best.end}
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
		if o.end <= s.end && o.compare(s) <= 0 {
			return list
		}
	}
	list = slices.DeleteFunc(list, func(o *state) bool {
		return s.end <= o.end && s.compare(o) <= 0
	})
	return append(list, s)
}
