package mark

import (
	"cmp"
	"slices"

	"quoin/geometry"
)

// space knows what of the frame is free.
type space struct {
	frame geometry.Box    // printable width x repeat
	clips []geometry.Box  // of the labels, by their leading end
	long  geometry.Length // the longest clip around
	taken []geometry.Box
	// matrix is the same frame without the labels' bleed: what is stripped with
	// the waste, where a mark may stand if nowhere else.
	matrix *space
}

// newSpace returns the space that the labels' clips leave, with its matrix.
func newSpace(l *geometry.Layout) *space {
	s := spaceBeside(l, func(st geometry.Station) geometry.Box { return st.Clip })
	s.matrix = spaceBeside(l, func(st geometry.Station) geometry.Box { return st.Trim.Outset(offTrim - tickClear) })
	return s
}

// spaceBeside returns the space that boxes of the labels leave.
func spaceBeside(l *geometry.Layout, label func(geometry.Station) geometry.Box) *space {
	s := &space{frame: geometry.Box{
		Min: geometry.Position{Across: l.Web.Edge},
		Max: geometry.Position{Across: l.Web.Width - l.Web.Edge, Around: l.Repeat},
	}}
	for _, st := range l.Station {
		box := label(st)
		s.clips = append(s.clips, box)
		for _, around := range l.Shifts(st) { // a label across the seam is at both ends
			s.clips = append(s.clips, box.Moved(geometry.Size{Around: around}))
		}
		s.long = max(s.long, box.Size().Around)
	}
	slices.SortFunc(s.clips, func(a, b geometry.Box) int { return cmp.Compare(a.Min.Around, b.Min.Around) })
	return s
}

func (s *space) take(b geometry.Box) {
	s.taken = append(s.taken, b)
	if s.matrix != nil {
		s.matrix.take(b)
	}
}

// blockers calls f with everything that shares area with b.
func (s *space) blockers(b geometry.Box, f func(geometry.Box)) {
	from, _ := slices.BinarySearchFunc(s.clips, b.Min.Around-s.long, func(c geometry.Box, at geometry.Length) int {
		return cmp.Compare(c.Min.Around, at)
	})
	for _, c := range s.clips[from:] {
		if c.Min.Around >= b.Max.Around {
			break
		}
		if c.Overlaps(b) {
			f(c)
		}
	}
	for _, t := range s.taken {
		if t.Overlaps(b) {
			f(t)
		}
	}
}

// free reports whether b is printable and keeps the clearance to everything.
func (s *space) free(b geometry.Box, clear geometry.Length) bool {
	ok := s.frame.Contains(b)
	if ok {
		s.blockers(b.Outset(clear), func(geometry.Box) { ok = false })
	}
	return ok
}

// span is a stretch along one direction.
type span struct{ from, to geometry.Length }

func (s span) length() geometry.Length { return s.to - s.from }

// whole is the frame's length.
func (s *space) whole() span { return span{s.frame.Min.Around, s.frame.Max.Around} }

// along returns the free stretches around, within limits, of a strip that takes
// a span across: in order, all with the clearance to what lies before, behind
// and beside.
func (s *space) along(across, limits span, clear geometry.Length) []span {
	if across.from < s.frame.Min.Across || across.to > s.frame.Max.Across {
		return nil
	}
	limits = span{max(limits.from, s.frame.Min.Around), min(limits.to, s.frame.Max.Around)}
	return s.gaps(across, limits, limits, clear, func(b geometry.Box) span { return span{b.Min.Around, b.Max.Around} })
}

// beside is along in the other direction: the free stretches across of a strip
// that takes a span around.
func (s *space) beside(around, limits span, clear geometry.Length) []span {
	if around.from < s.frame.Min.Around || around.to > s.frame.Max.Around {
		return nil
	}
	limits = span{max(limits.from, s.frame.Min.Across), min(limits.to, s.frame.Max.Across)}
	return s.gaps(limits, around, limits, clear, func(b geometry.Box) span { return span{b.Min.Across, b.Max.Across} })
}

// gaps returns what lies in a strip, or nearer to it than the clearance, leaves of the
// limits in one direction.
func (s *space) gaps(across, around, limits span, clear geometry.Length, in func(geometry.Box) span) []span {
	strip := geometry.Box{
		Min: geometry.Position{Across: across.from, Around: around.from},
		Max: geometry.Position{Across: across.to, Around: around.to},
	}
	var used []span
	s.blockers(strip.Outset(clear), func(b geometry.Box) {
		taken := in(b)
		used = append(used, span{taken.from - clear, taken.to + clear})
	})
	return gaps(limits, used)
}

// gaps returns what the used spans leave of the whole, in order.
func gaps(whole span, used []span) []span {
	slices.SortFunc(used, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var out []span
	at := whole.from
	for _, u := range used {
		if u.from > at {
			out = append(out, span{at, min(u.from, whole.to)})
		}
		at = max(at, u.to)
	}
	if at < whole.to {
		out = append(out, span{at, whole.to})
	}
	return out
}
