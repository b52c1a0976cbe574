package schedule

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// search improves an order of many runs.
type search struct {
	p     *Problem
	n     int
	left  int64 // steps
	rng   *rand.Rand
	ticks []int64 // of changes, by from+1 and to, where they are kept
	cost  []int64
}

// mostKept is as many runs as have their changes worked out once.
const mostKept = 1500

func newSearch(p *Problem, steps int64, seed uint64) *search {
	n := len(p.Ticks)
	s := &search{p: p, n: n, left: steps, rng: rand.New(rand.NewPCG(seed, uint64(n)))}
	if n <= mostKept {
		s.ticks, s.cost = make([]int64, (n+1)*n), make([]int64, (n+1)*n)
		for from := -1; from < n; from++ {
			for to := range n {
				k := (from+1)*n + to
				s.ticks[k], s.cost[k] = p.Change(from, to)
			}
		}
	}
	return s
}

// change is Problem.Change; behind the last run comes nothing.
func (s *search) change(from, to int) (ticks, cost int64) {
	switch {
	case to < 0:
		return 0, 0
	case s.ticks != nil:
		k := (from+1)*s.n + to
		return s.ticks[k], s.cost[k]
	}
	return s.p.Change(from, to)
}

// run tries the starts, its own and others, improves the best, and kicks it while steps are left.
func (s *search) run(starts ...[]int) Sequence {
	best := s.measure(s.byDue())
	for _, runs := range append([][]int{s.nearest(false), s.nearest(true)}, starts...) {
		if x := s.measure(runs); x.Better(&best) {
			best = x
		}
	}
	best = s.improve(best)
	for s.left > 0 {
		x := s.improve(s.measure(s.kicked(best.Runs)))
		if x.Better(&best) {
			best = x
		}
	}
	return best
}

// measure is Problem.Measure, by the changes that are kept.
func (s *search) measure(runs []int) Sequence {
	s.left -= int64(s.n)
	x := Sequence{Runs: runs, End: s.p.Begin}
	from := -1
	for _, r := range runs {
		ticks, cost := s.change(from, r)
		x.End += ticks + s.p.Ticks[r]
		x.Cost += cost
		missed, late := s.p.late(r, x.End)
		x.Missed, x.Late = x.Missed+missed, x.Late+late
		from = r
	}
	return x
}

// byDue puts what is due first at the front.
func (s *search) byDue() []int {
	runs := make([]int, s.n)
	for i := range runs {
		runs[i] = i
	}
	slices.SortStableFunc(runs, s.p.byDue)
	return runs
}

// byDue puts the run first that is due first, and of those what counts for more.
func (p *Problem) byDue(a, b int) int {
	x, y := p.first(a), p.first(b)
	return cmp.Or(cmp.Compare(x.At, y.At), cmp.Compare(y.Weight, x.Weight))
}

// first is the earliest due of a run.
func (p *Problem) first(r int) Due {
	if len(p.Dues[r]) == 0 {
		return Due{At: Never}
	}
	return p.Dues[r][0]
}

// nearest takes the run whose change costs least, again and again; by due, only
// among those of the earliest due time.
func (s *search) nearest(due bool) []int {
	open := s.byDue()
	var runs []int
	from := -1
	for len(open) > 0 {
		best, least := 0, int64(Never)
		for i, r := range open {
			if due && s.p.first(r).At > s.p.first(open[0]).At {
				break
			}
			if _, cost := s.change(from, r); cost < least {
				best, least = i, cost
			}
			s.left--
		}
		from = open[best]
		runs = append(runs, from)
		open = slices.Delete(open, best, best+1)
	}
	return runs
}

// improve moves segments, also turned round, until no move helps.
func (s *search) improve(x Sequence) Sequence {
	along := s.along(x.Runs)
	for again := true; again && s.left > 0; {
		again = false
		longest := min(s.n/2, 40)
		if s.n > mostKept {
			longest = 3
		}
		for length := 1; length <= longest && s.left > 0; length++ {
			for i := 0; i+length <= s.n && s.left > 0; i++ {
				if y, ok := s.moved(&x, i, i+length, along[i+length-1]-along[i]); ok {
					x, again = y, true
					along = s.along(x.Runs)
				}
			}
		}
	}
	return x
}

// along sums up, from the first run to each, how much more the changes cost the other
// way round.
func (s *search) along(runs []int) []int64 {
	out := make([]int64, len(runs))
	for k := 1; k < len(runs); k++ {
		_, there := s.change(runs[k-1], runs[k])
		_, back := s.change(runs[k], runs[k-1])
		out[k] = out[k-1] + back - there
	}
	return out
}

// moved moves the segment [i, j) of the order to where it helps first, as it is or
// turned round, when its own changes cost so much more.
func (s *search) moved(x *Sequence, i, j int, turned int64) (Sequence, bool) {
	at := func(k int) int {
		if k < 0 || k >= s.n {
			return -1
		}
		return x.Runs[k]
	}
	before, first, last, after := at(i-1), at(i), at(j-1), at(j)
	_, in := s.change(before, first)
	_, out := s.change(last, after)
	_, join := s.change(before, after)
	saved := in + out - join
	from, to := 0, s.n
	if saved <= 0 && turned >= 0 && x.Late == 0 { // no other place gains
		from, to = i, i
	}
	for k := from; k <= to; k++ { // in front of place k
		if k > i && k <= j {
			continue
		}
		s.left--
		p, q := at(k-1), at(k)
		gained := saved
		if k == i { // where it is
			q, gained = after, in+out
		}
		_, old := s.change(p, q)
		if k == i {
			old = 0
		}
		for _, back := range []bool{false, true} {
			head, tail, more := first, last, int64(0)
			if back {
				head, tail, more = last, first, turned
			}
			if back && j-i == 1 || !back && k == i {
				continue
			}
			_, into := s.change(p, head)
			_, on := s.change(tail, q)
			if into+on+more-old-gained >= 0 && x.Late == 0 {
				continue
			}
			if y := s.measure(shifted(x.Runs, i, j, k, back)); y.Better(x) {
				return y, true
			}
		}
	}
	return Sequence{}, false
}

// shifted moves runs[i:j] in front of place k, or of place i where that is where they
// stay, and turns them round where asked.
func shifted(runs []int, i, j, k int, back bool) []int {
	segment := slices.Clone(runs[i:j])
	if back {
		slices.Reverse(segment)
	}
	if k <= i {
		return slices.Concat(runs[:k], segment, runs[k:i], runs[j:])
	}
	return slices.Concat(runs[:i], runs[j:k], segment, runs[k:])
}

// kicked swaps two neighbouring segments that a chance chooses.
func (s *search) kicked(runs []int) []int {
	span := min(s.n, 50)
	start := s.rng.IntN(s.n - span + 1)
	cut := []int{start + s.rng.IntN(span), start + s.rng.IntN(span), start + s.rng.IntN(span)}
	slices.Sort(cut)
	return slices.Concat(runs[:cut[0]], runs[cut[1]:cut[2]], runs[cut[0]:cut[1]], runs[cut[2]:])
}
