package labels

import (
	"cmp"
	"maps"
	"slices"
)

// rolls follows labels and change-over labels along each lane of a part. What its
// ends cut off can only be too long.
type rolls struct {
	run   *run
	out   *Report
	lanes map[int]*stretch
}

// stretch is how many labels, or change-over labels, stand behind each other.
type stretch struct {
	of    entry // the first
	count int64
	begun bool // a stretch stands before it, so that this one is whole when it ends
}

// frame adds the stations of the next frame: change-over labels stand between full
// rolls and nowhere else.
func (r *rolls) frame(list []entry) {
	o := r.run.places.Order
	if o.Change == 0 {
		for _, e := range list {
			if e.change {
				r.out.differs(LedgerDiffers, "a ledger has a change-over label in lane %d of frame %d, and the run has none", e.lane, e.frame)
			}
		}
		return
	}
	along := slices.SortedStableFunc(slices.Values(list), func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.lane, b.lane), cmp.Compare(a.row, b.row))
	})
	for _, e := range along {
		if !e.printed && !e.change {
			continue // nothing is left for the station
		}
		if e.change && e.record > 0 {
			r.out.differs(LedgerDiffers, "a change-over label in lane %d of frame %d has record %d", e.lane, e.frame, e.record)
		}
		if e.change {
			r.out.Changes++
		}
		switch s := r.lanes[e.lane]; {
		case s == nil:
			r.lanes[e.lane] = &stretch{of: e, count: 1}
		case s.of.change == e.change:
			s.count++
		default:
			r.judge(s, s.begun)
			*s = stretch{of: e, count: 1, begun: true}
		}
	}
}

// end judges what is left at the part's end.
func (r *rolls) end() {
	for _, lane := range slices.Sorted(maps.Keys(r.lanes)) {
		r.judge(r.lanes[lane], false)
	}
}

func (r *rolls) judge(s *stretch, whole bool) {
	o := r.run.places.Order
	want, what := o.PerRoll, "labels of a roll"
	if s.of.change {
		want, what = o.Change, "change-over labels"
	}
	if s.count > want || whole && s.count != want {
		r.out.differs(LedgerDiffers, "%d %s stand behind each other in lane %d from frame %d on, and %d belong there", s.count, what, s.of.lane, s.of.frame, want)
	}
}
