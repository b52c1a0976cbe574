package mark

import (
	"cmp"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/say"
)

// Ticks stand closer than other marks: a gap between labels is narrow, and
// what surrounds them there is waste. Shorter than least they can't be seen.
const (
	tickClear = 100 * um
	leastTick = 1 * mm
)

// The centre tick is twice as heavy as a slit mark and longer, so that the two
// can be told apart; where a slit mark would stand on the centre it serves
// for both.
const (
	centreLength = 8 * mm
	centreLine   = 200 * um
)

// centre lays a tick on the web's centre at the frame's start, and tells
// whether it did.
func (b *bench) centre(want bool) bool {
	if !want {
		return false
	}
	at := b.layout.Web.Width / 2
	if b.startTick(at, centreLength, centreLine) {
		return true
	}
	b.out.Notes.Add(CodeCentre, "no centre tick: labels with their bleed leave no room on the web's centre, %s across, at the frame's start", at)
	return false
}

// slit lays a tick in the middle of each gap between lanes, from the frame's
// start on.
func (b *bench) slit(s *Slit, centred bool) {
	if s == nil {
		return
	}
	missing := 0
	lines := b.slitLines(s.Edges)
	for _, at := range lines {
		if centred && at == b.layout.Web.Width/2 {
			continue
		}
		if !b.startTick(at, s.Length, s.Line) {
			missing++
		}
	}
	if missing > 0 {
		clip, _ := b.layout.BleedClipped()
		b.out.Notes.Add(CodeSlit, "%s of %d left out: a gap of %s with %s of bleed on each side leaves less than the %s that a tick needs",
			say.Count(missing, "slit mark"), len(lines), b.layout.Gap.Across, clip.Across, s.Line+2*tickClear)
	}
}

// laneSpan is what a lane's trims take across.
type laneSpan struct {
	span
	lane int // its number
}

// lanesAcross gives the lanes from the web's left edge on. A frame for the second
// surface counts its lanes from the right.
func (b *bench) lanesAcross() []laneSpan {
	lanes := make([]laneSpan, b.layout.Across)
	for _, s := range b.layout.Station {
		l := &lanes[s.Lane-1]
		if l.lane == 0 {
			*l = laneSpan{span{s.Trim.Min.Across, s.Trim.Max.Across}, s.Lane}
		}
		l.span = span{min(l.from, s.Trim.Min.Across), max(l.to, s.Trim.Max.Across)}
	}
	slices.SortFunc(lanes, func(a, b laneSpan) int { return cmp.Compare(a.from, b.from) })
	return lanes
}

// slitLines gives the middles of the gaps between lanes, and of those that
// the outer lanes would have.
func (b *bench) slitLines(edges bool) []geometry.Length {
	lanes := b.lanesAcross()
	var lines []geometry.Length
	if edges {
		lines = append(lines, lanes[0].from-b.layout.Gap.Across/2)
	}
	for i := 1; i < len(lanes); i++ {
		lines = append(lines, (lanes[i-1].to+lanes[i].from)/2)
	}
	if edges {
		lines = append(lines, lanes[len(lanes)-1].to+b.layout.Gap.Across/2)
	}
	return lines
}

// startTick lays a tick from the frame's start along the web, as long as the
// room there, up to a length.
func (b *bench) startTick(at, length, line geometry.Length) bool {
	across := span{at - line/2, at - line/2 + line}
	free := b.space.along(across, span{0, length}, tickClear)
	if len(free) == 0 || free[0].from > 0 {
		return false
	}
	length = min(length, free[0].to)
	if length < leastTick {
		return false
	}
	b.tick(geometry.Position{Across: at}, geometry.Position{Across: at, Around: length}, line)
	return true
}

// tick draws a straight line along or across the web.
func (b *bench) tick(from, to geometry.Position, line geometry.Length) {
	box := geometry.Box{Min: from, Max: to}
	if from.Across == to.Across {
		box.Min.Across -= line / 2
		box.Max.Across = box.Min.Across + line
	} else {
		box.Min.Around -= line / 2
		box.Max.Around = box.Min.Around + line
	}
	b.add(box, draw.Stroke{Layer: draw.Marks, Path: draw.Segment(from, to), Width: line, Paint: draw.Solid(b.dark.Name)})
}
