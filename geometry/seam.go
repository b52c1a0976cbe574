package geometry

// Room returns how far the clip reaches beyond the trim where it reaches least:
// the bleed that there is room for.
func (s Station) Room() Length {
	return min(
		s.Trim.Min.Across-s.Clip.Min.Across, s.Clip.Max.Across-s.Trim.Max.Across,
		s.Trim.Min.Around-s.Clip.Min.Around, s.Clip.Max.Around-s.Trim.Max.Around)
}

// Shifts returns the moves around, besides none, at which a station must be
// painted once more, because a part of its clip lies beyond one end of the frame
// and so belongs to the other: the web carries one frame behind the next.
// Straight layouts begin and end at half a gap and have none; in staggered
// layouts a label may stand across the seam.
func (l *Layout) Shifts(s Station) []Length {
	var shifts []Length
	if s.Clip.Min.Around < 0 {
		shifts = append(shifts, l.Repeat)
	}
	if s.Clip.Max.Around > l.Repeat {
		shifts = append(shifts, -l.Repeat)
	}
	return shifts
}
