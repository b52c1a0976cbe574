package plan

import (
	"cmp"
	"maps"
	"slices"

	"quoin/geometry/schedule"
)

// chore is what deciding about lateness needs to know of a run: the time that it
// takes with what changes before it, and its days.
type chore struct {
	ticks int64
	dues  []schedule.Due
}

// until is what of the run is due by a time.
func (c *chore) until(at int64) (weight int64) {
	for _, d := range c.dues {
		if d.At <= at {
			weight += d.Weight
		}
	}
	return weight
}

// verdict is which days are kept.
type verdict struct {
	due          []int64 // of each run, the time that it is printed for: schedule.Never where all its days are missed
	missed, late int64
}

// decide says which runs keep which of their days, so that as little as possible is
// missed: day by day, of what does not fit what takes longest for what it counts is
// put off to its next day, or behind all others. For one day and equal weights that
// is J. M. Moore, "An n job, one machine sequencing algorithm for minimizing the
// number of late jobs", Management Science 15(1), 1968.
func decide(all []chore, begin int64) verdict {
	v := verdict{due: make([]int64, len(all))}
	on := map[int64][]int{}
	for i := range all {
		v.due[i] = schedule.Never
		if len(all[i].dues) > 0 {
			on[all[i].dues[0].At] = append(on[all[i].dues[0].At], i)
		}
	}
	for _, i := range all {
		for _, d := range i.dues {
			if _, known := on[d.At]; !known {
				on[d.At] = nil
			}
		}
	}
	load := begin
	var kept, behind []int // kept: what is least worth its time at the end
	for _, level := range slices.Sorted(maps.Keys(on)) {
		for _, i := range on[level] {
			kept = append(kept, i)
			load += all[i].ticks
			v.due[i] = level
		}
		if load <= level {
			continue
		}
		worth := func(i int) float64 { return float64(all[i].until(level)) / float64(max(all[i].ticks, 1)) }
		slices.SortStableFunc(kept, func(a, b int) int { return cmp.Compare(worth(b), worth(a)) })
		for load > level && len(kept) > 0 {
			i := kept[len(kept)-1]
			kept = kept[:len(kept)-1]
			load -= all[i].ticks
			v.due[i] = schedule.Never
			at := slices.IndexFunc(all[i].dues, func(d schedule.Due) bool { return d.At > level })
			if at < 0 {
				behind = append(behind, i)
			} else {
				on[all[i].dues[at].At] = append(on[all[i].dues[at].At], i)
			}
		}
	}
	v.count(all, behind, load)
	return v
}

// count adds up what is missed, where what is behind all others is printed from a
// time on, what is most worth its time first.
func (v *verdict) count(all []chore, behind []int, at int64) {
	for i := range all {
		for _, d := range all[i].dues {
			if v.due[i] != schedule.Never && d.At < v.due[i] {
				v.missed, v.late = v.missed+d.Weight, v.late+d.Weight*(v.due[i]-d.At)
			}
		}
	}
	worth := func(i int) float64 { return float64(all[i].until(schedule.Never)) / float64(max(all[i].ticks, 1)) }
	slices.SortStableFunc(behind, func(a, b int) int { return cmp.Compare(worth(b), worth(a)) })
	for _, i := range behind {
		at += all[i].ticks
		for _, d := range all[i].dues {
			v.missed += d.Weight
			v.late += d.Weight * max(0, at-d.At)
		}
	}
}
