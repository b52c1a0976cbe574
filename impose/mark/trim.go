package mark

import (
	"cmp"
	"slices"

	"quoin/geometry"
)

// trim lays ticks that point at the corners of every label, along the lines of
// its trim, off the trim by the offset or the bleed, whichever is more. They
// keep out of the target lanes, and of labels; what two labels would both mark
// in a gap is one tick.
func (b *bench) trim(t *Trim) {
	if t == nil {
		return
	}
	off := max(t.Offset, b.layout.Bleed, t.Line+tickClear)
	reach := off + t.Length
	margin := b.layout.Web.Margin()
	line := func(at geometry.Length) span { return span{at - t.Line/2, at - t.Line/2 + t.Line} }
	var ticks []tickLine
	missing := 0
	for _, s := range b.layout.Station {
		for _, at := range []geometry.Length{s.Trim.Min.Across, s.Trim.Max.Across} {
			free := b.space.along(line(at), span{s.Trim.Min.Around - reach, s.Trim.Max.Around + reach}, tickClear)
			missing += point(&ticks, true, at, s.Trim.Min.Around-off, -1, t.Length, free)
			missing += point(&ticks, true, at, s.Trim.Max.Around+off, +1, t.Length, free)
		}
		band := span{max(margin, s.Trim.Min.Across-reach), min(b.layout.Web.Width-margin, s.Trim.Max.Across+reach)}
		for _, at := range []geometry.Length{s.Trim.Min.Around, s.Trim.Max.Around} {
			free := b.space.beside(line(at), band, tickClear)
			missing += point(&ticks, false, at, s.Trim.Min.Across-off, -1, t.Length, free)
			missing += point(&ticks, false, at, s.Trim.Max.Across+off, +1, t.Length, free)
		}
	}
	for _, k := range merged(ticks, t.Line) {
		from, to := geometry.Position{Across: k.at, Around: k.from}, geometry.Position{Across: k.at, Around: k.to}
		if !k.along {
			from, to = geometry.Position{Across: k.from, Around: k.at}, geometry.Position{Across: k.to, Around: k.at}
		}
		b.tick(from, to, t.Line)
	}
	corners := 8 * len(b.layout.Station)
	b.out.Laid.Trims, b.out.Laid.TrimCorners = corners-missing, corners
	if missing > 0 {
		b.out.Notes.Add(CodeTrim, "%d of %d trim marks left out: labels with their bleed leave no room %s off the trim",
			missing, corners, off)
	}
}

// tickLine is a tick along or across the web, at a place in the other
// direction.
type tickLine struct {
	along bool
	at    geometry.Length
	span
}

// point adds a tick that starts at a place and goes away from the label, as
// long as the room there, up to a length. It gives 1 when there is no room.
func point(ticks *[]tickLine, along bool, at, start, way, length geometry.Length, free []span) int {
	for _, f := range free {
		if start < f.from || start > f.to {
			continue
		}
		s := span{start, min(start+length, f.to)}
		if way < 0 {
			s = span{max(start-length, f.from), start}
		}
		if s.length() < leastTick {
			return 1
		}
		*ticks = append(*ticks, tickLine{along, at, s})
		return 0
	}
	return 1
}

// merged makes one of ticks that run in one line into one another, and leaves
// out a tick that would touch one beside it.
func merged(ticks []tickLine, line geometry.Length) []tickLine {
	slices.SortFunc(ticks, func(a, b tickLine) int {
		if a.along != b.along {
			if a.along {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	var out []tickLine
next:
	for _, k := range ticks {
		for i := len(out) - 1; i >= 0 && out[i].along == k.along && k.at-out[i].at < line+tickClear; i-- {
			if k.from > out[i].to || k.to < out[i].from {
				continue
			}
			if k.at == out[i].at {
				out[i].to = max(out[i].to, k.to)
			}
			continue next // nearer than a line's width, both would run into one
		}
		out = append(out, k)
	}
	return out
}
