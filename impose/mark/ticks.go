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

// Where labels with their bleed leave no room, a tick stands in the matrix, over
// bleed that is stripped: off the trims by what a die may miss (common practice,
// no source), and on bare paper, so that it shows on bleed of any colour.
const (
	offTrim  = 500 * um
	tickHalo = 300 * um // paper on each side
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
		b.out.Laid.Centre = true
		return true
	}
	b.out.Warnings.Add(CodeCentre, "no centre tick: labels with their bleed leave no room on the web's centre, %s across, at the frame's start; a wider gap between rows does", at)
	return false
}

// slit lays a tick in the middle of each gap between lanes, from the frame's
// start on.
func (b *bench) slit(s *Slit, centred bool) {
	if s == nil {
		return
	}
	missing := 0
	lines := b.slitLines()
	defer func() { b.out.Laid.Slits, b.out.Laid.SlitLines = len(lines)-missing, len(lines) }()
	for _, at := range lines {
		if centred && at == b.layout.Web.Width/2 {
			continue
		}
		if !b.startTick(at, s.Length, s.Line) {
			missing++
		}
	}
	if missing == 0 {
		return
	}
	list := &b.out.Notes
	if missing == len(lines) {
		list = &b.out.Warnings
	}
	list.Add(CodeSlit, "%s of %d left out: between the trims of a gap of %s there is less than the %s that a tick needs, or something else stands there",
		say.Count(missing, "slit mark"), len(lines), b.layout.Gap.Across, s.Line+2*tickHalo+2*offTrim)
}

// laneSpan is what a lane's trims take across.
type laneSpan struct {
	span
	lane int // its number
}

// lanesAcross returns the lanes from the web's left edge on. A frame for the second
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

// slitLines returns the middles of the gaps between lanes.
func (b *bench) slitLines() []geometry.Length {
	lanes := b.lanesAcross()
	var lines []geometry.Length
	for i := 1; i < len(lanes); i++ {
		lines = append(lines, (lanes[i-1].to+lanes[i].from)/2)
	}
	return lines
}

// startTick lays a tick from the frame's start along the web, as long as the
// room there, up to a length: beside the labels' bleed, or else in the matrix.
func (b *bench) startTick(at, length, line geometry.Length) bool {
	across := span{at - line/2, at - line/2 + line}
	if room := b.space.fromStart(across, length); room > 0 {
		b.tick(geometry.Position{Across: at}, geometry.Position{Across: at, Around: room}, line)
		return true
	}
	across = span{across.from - tickHalo, across.to + tickHalo}
	room := b.space.matrix.fromStart(across, length)
	if room == 0 {
		return false
	}
	halo := geometry.Box{Min: geometry.Position{Across: across.from}, Max: geometry.Position{Across: across.to, Around: room}}
	b.out.Items = append(b.out.Items, draw.Fill{Layer: draw.Marks, Path: draw.Rectangle(halo), Paint: b.paper()})
	from, to := geometry.Position{Across: at}, geometry.Position{Across: at, Around: room}
	b.tick(from, to, line)
	b.space.take(halo)
	b.out.Matrix = append(b.out.Matrix, halo, geometry.Box{Min: from, Max: to})
	return true
}

// paper is a paint that takes all inks away: none of an ink, which knocks out
// every other (ISO 32000-1 8.6.7).
func (b *bench) paper() draw.Paint {
	return draw.Paint{Tints: []draw.Tint{{Ink: b.dark.Name}}}
}

// fromStart returns how long a strip from the frame's start is free, up to a
// length; 0 where it is less than a tick.
func (s *space) fromStart(across span, length geometry.Length) geometry.Length {
	free := s.along(across, span{0, length}, tickClear)
	if len(free) == 0 || free[0].from > 0 || free[0].to < leastTick {
		return 0
	}
	return min(length, free[0].to)
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
