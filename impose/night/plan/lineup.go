package plan

import (
	"cmp"
	"maps"
	"slices"

	"quoin/geometry/schedule"
)

// slot is the runs that are put in order together: those of one night and priority,
// and behind the last night what misses its days anyway.
type slot struct {
	night    int
	behind   int // 1: what is late anyway; 2: what is never due, behind that
	priority int
}

func (s slot) compare(o slot) int {
	return cmp.Or(cmp.Compare(s.night, o.night), cmp.Compare(s.behind, o.behind), cmp.Compare(o.priority, s.priority))
}

// lineup is the runs of one press on their way into their order. Nights come one
// after the other, in each the higher priority first.
type lineup struct {
	*schedule.Problem
	slots []slot // by run
	night int64  // working ticks of one
	last  int    // night that is planned
}

// ordering puts some runs in order that follow another, -1 where they are the first,
// from a time on.
type ordering func(of []int, last int, begin int64) []int

// mostDecided is how often it is decided which days are kept: what makes room takes
// the changes before and after it along, so that others may be kept then.
const mostDecided = 3

// arrange returns all runs in order, each slot by itself. Where days are missed, runs
// that miss theirs anyway make room first.
func (l *lineup) arrange(order ordering) schedule.Sequence {
	seq := l.bySlots(order)
	if seq.Missed == 0 {
		return seq
	}
	first, slots := slices.Clone(l.slots), l.slots
	for x, n := seq, 0; x.Missed > 0 && n < mostDecided; n++ {
		all := make([]chore, len(x.Runs))
		last := -1
		for _, r := range x.Runs {
			ticks, _ := l.Change(last, r)
			all[r], last = chore{ticks + l.Ticks[r], l.Dues[r]}, r
		}
		l.slots = slices.Clone(first)
		decide(all, l.Begin).make(l.slots, all, l.night, l.last)
		if x = l.bySlots(order); n == 0 || x.Better(&seq) {
			slots = l.slots
		}
		if x.Better(&seq) {
			seq = x
		}
	}
	l.slots = slots
	return l.postpone(seq)
}

// make gives each run the slot of the day that it is printed for, among nights of so
// many ticks.
func (v verdict) make(slots []slot, all []chore, night int64, lastNight int) {
	for i, due := range v.due {
		s := &slots[i]
		switch {
		case due < schedule.Never:
			s.night = max(s.night, min(lastNight, int(due/night)-1))
		case len(all[i].dues) > 0:
			s.night, s.behind = lastNight, 1
		default:
			s.night, s.behind = lastNight, 2
		}
	}
}

func (l *lineup) bySlots(order ordering) schedule.Sequence {
	of := map[slot][]int{}
	for i, s := range l.slots {
		of[s] = append(of[s], i)
	}
	last, seq := -1, l.Measure(nil)
	for _, key := range slices.SortedFunc(maps.Keys(of), slot.compare) {
		seq = l.Measure(append(seq.Runs, order(of[key], last, seq.End)...))
		last = seq.Runs[len(seq.Runs)-1]
	}
	return seq
}

// mostPostponed is how many runs are tried for each that misses a day: those that
// take longest for what they count.
const mostPostponed = 8

// postpone moves runs behind later ones, where fewer orders miss their days then, or
// by less.
func (l *lineup) postpone(s schedule.Sequence) schedule.Sequence {
	for i := 0; i < len(s.Runs) && s.Missed > 0; i++ {
		if l.Measure(s.Runs[:i+1]).Missed == 0 {
			continue
		}
		for tries := 0; tries < mostPostponed && l.postponed(&s, i); tries++ {
		}
	}
	return s
}

// postponed moves one of the runs up to a place behind later ones, where that is better.
func (l *lineup) postponed(s *schedule.Sequence, place int) bool {
	from := make([]int, 0, place+1)
	for k := range place + 1 {
		from = append(from, k)
	}
	worth := func(k int) float64 {
		sum := int64(0)
		for _, d := range l.Dues[s.Runs[k]] {
			sum += d.Weight
		}
		return float64(l.Ticks[s.Runs[k]]) / float64(max(sum, 1))
	}
	slices.SortStableFunc(from, func(a, b int) int { return cmp.Compare(worth(b), worth(a)) })
	from = from[:min(len(from), mostPostponed)]
	if !slices.Contains(from, place) {
		from = append(from, place)
	}
	best := *s
	for _, k := range from {
		for to := k + 2; to <= len(s.Runs); to++ {
			if to < len(s.Runs) && (l.slots[s.Runs[to]] == l.slots[s.Runs[to-1]] || to <= place) {
				continue // not the end of a slot
			}
			runs := slices.Insert(slices.Delete(slices.Clone(s.Runs), k, k+1), to-1, s.Runs[k])
			if x := l.Measure(runs); x.Missed < best.Missed || x.Missed == best.Missed && x.Late < best.Late {
				best = x
			}
		}
	}
	better := best.Better(s)
	*s = best
	return better
}

// starts returns when each run of a sequence begins to be set up. None begins before
// its night but where it, or one behind it, would miss a day for that: then as many
// begin as the night has no hours for.
func (l *lineup) starts(runs []int) []int64 {
	ends := make([]int64, len(runs))
	at, last := l.Begin, -1
	for i, r := range runs {
		ticks, _ := l.Change(last, r)
		at, last = at+ticks+l.Ticks[r], r
		ends[i] = at
	}
	slack := make([]int64, len(runs)+1)
	slack[len(runs)] = schedule.Never
	for i := len(runs) - 1; i >= 0; i-- {
		slack[i] = slack[i+1]
		for _, d := range l.Dues[runs[i]] {
			slack[i] = min(slack[i], max(0, d.At-ends[i]))
		}
	}
	out := make([]int64, len(runs))
	at, last = l.Begin, -1
	waited := int64(0)
	for i, r := range runs {
		if wait := int64(l.slots[r].night)*l.night - at; wait > 0 && waited+wait <= slack[i] {
			at, waited = at+wait, waited+wait
		}
		out[i] = at
		ticks, _ := l.Change(last, r)
		at, last = at+ticks+l.Ticks[r], r
	}
	return out
}
