package labels

import (
	"cmp"
	"slices"
)

// changes checks that change-over labels stand between full rolls and nowhere
// else, along each lane of a part. What its ends cut off can only be too long.
func (r *run) changes(list []entry, out *Report) {
	o := r.places.Order
	if o.Change == 0 {
		for _, e := range list {
			if e.change {
				out.differs(LedgerDiffers, "a ledger has a change-over label in lane %d of frame %d, and the run has none", e.lane, e.frame)
			}
		}
		return
	}
	along := slices.SortedStableFunc(slices.Values(list), func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.lane, b.lane), cmp.Compare(a.frame, b.frame), cmp.Compare(a.row, b.row))
	})
	type stretch struct {
		of    entry // the first
		count int64
	}
	var stretches []stretch
	for _, e := range along {
		if !e.printed && !e.change {
			continue // nothing is left for the station
		}
		if e.change && e.record > 0 {
			out.differs(LedgerDiffers, "a change-over label in lane %d of frame %d has record %d", e.lane, e.frame, e.record)
		}
		if e.change {
			out.Changes++
		}
		if n := len(stretches); n > 0 && stretches[n-1].of.lane == e.lane && stretches[n-1].of.change == e.change {
			stretches[n-1].count++
		} else {
			stretches = append(stretches, stretch{e, 1})
		}
	}
	for i, s := range stretches {
		want, what := o.PerRoll, "labels of a roll"
		if s.of.change {
			want, what = o.Change, "change-over labels"
		}
		whole := i > 0 && i+1 < len(stretches) && stretches[i-1].of.lane == s.of.lane && stretches[i+1].of.lane == s.of.lane
		if s.count > want || whole && s.count != want {
			out.differs(LedgerDiffers, "%d %s stand behind each other in lane %d from frame %d on, and %d belong there", s.count, what, s.of.lane, s.of.frame, want)
		}
	}
}
