package preview

import (
	"strings"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/ink"
)

// measureCap returns the height of measures' capitals: they grow with the frame,
// so that they can be read where all of it is seen.
func measureCap(frame geometry.Size) geometry.Length {
	return max(2500*geometry.Micrometre, max(frame.Across, frame.Around)/130)
}

// dimensions draws the layout's measures: web and band, the first label and
// the gap behind it, across and around, and the repeat. Where lanes differ in
// width, each says its own on one line, and the gap has the next.
func dimensions(l *geometry.Layout) []draw.Item {
	m := measures{cap: measureCap(geometry.Size{Across: l.Web.Width, Around: l.Repeat}), l: l}
	width, first := l.Web.Width, l.Station[0].Trim
	band := [2]geometry.Length{l.Web.Margin(), width - l.Web.Margin()}
	line := 1
	m.across(line, first.Min.Across, first.Max.Across, "label")
	if l.Widths != nil {
		m.lanes(l.Station[1:l.Across])
		line++
	}
	if l.Across > 1 {
		from := first.Max.Across
		// A frame for the second surface counts its lanes from the right.
		if next := l.Station[1]; next.Lane == 2 && next.Trim.Max.Across <= first.Min.Across {
			from = first.Min.Across - l.Gap.Across
		}
		m.across(line, from, from+l.Gap.Across, "gap")
	}
	m.across(line+1, band[0], band[1], "band")
	m.across(line+2, 0, width, "web")
	m.around(1, first.Min.Around, first.Max.Around, "label")
	if l.Around > 1 {
		m.around(1, first.Max.Around, first.Max.Around+l.Gap.Around, "gap")
	}
	m.around(2, 0, l.Repeat, "repeat")
	return m.items
}

// measures stand outside of the web: those across below it, those around at
// its right.
type measures struct {
	cap   geometry.Length // height of a capital; all else goes by it
	l     *geometry.Layout
	items []draw.Item
}

// step is how far each line of measures is from the one before, lift how far a
// text's top is over its line.
func (m *measures) step() geometry.Length { return m.cap * 14 / 5 }
func (m *measures) lift() geometry.Length { return m.cap * 7 / 5 }

var black = draw.Solid(ink.Black)

// across draws a measure below the web, on the line of that number.
func (m *measures) across(line int, from, to geometry.Length, what string) {
	at := m.l.Repeat + geometry.Length(line)*m.step()
	pos := func(a geometry.Length) geometry.Position { return geometry.Position{Across: a, Around: at} }
	tick := geometry.Size{Around: m.cap * 2 / 5}
	m.line(pos(from), pos(to), tick)
	m.text(what, from, to, geometry.Turn0,
		func(width geometry.Length) geometry.Position {
			return pos((from + to - width) / 2).Add(geometry.Size{Around: -m.lift()})
		},
		geometry.Position{Across: to + m.cap/2, Around: at - m.cap/2})
}

// lanes draws the widths of further lanes beside that of the first. A number that
// is wider than its lane is left out, for it would stand on the next one's line.
func (m *measures) lanes(row []geometry.Station) {
	for _, s := range row {
		from, to := s.Trim.Min.Across, s.Trim.Max.Across
		if t, err := lettering.Regular().Set((to - from).Digits(), m.cap, geometry.Turn0); err == nil && t.Width <= to-from {
			m.across(1, from, to, "")
		}
	}
}

// around draws a measure at the right of the web.
func (m *measures) around(line int, from, to geometry.Length, what string) {
	at := m.l.Web.Width + geometry.Length(line)*m.step()
	pos := func(r geometry.Length) geometry.Position { return geometry.Position{Across: at, Around: r} }
	m.line(pos(from), pos(to), geometry.Size{Across: m.cap * 2 / 5})
	m.text(what, from, to, geometry.Turn90,
		func(width geometry.Length) geometry.Position {
			return pos((from + to - width) / 2).Add(geometry.Size{Across: -m.lift()})
		},
		geometry.Position{Across: at - m.cap/2, Around: to + m.cap/2})
}

// line draws a measure's line with a tick at both ends.
func (m *measures) line(a, b geometry.Position, tick geometry.Size) {
	back := geometry.Size{Across: -tick.Across, Around: -tick.Around}
	for _, p := range []draw.Path{
		draw.Segment(a, b),
		draw.Segment(a.Add(back), a.Add(tick)),
		draw.Segment(b.Add(back), b.Add(tick)),
	} {
		m.items = append(m.items, draw.Stroke{Layer: draw.Dimensions, Path: p, Width: m.cap / 16, Paint: black})
	}
}

// text writes a measure over the middle of its line or, where the line is too
// short for it, behind its end. Both are where the text's box begins.
func (m *measures) text(what string, from, to geometry.Length, turn geometry.Turn, over func(width geometry.Length) geometry.Position, behind geometry.Position) {
	t, err := lettering.Regular().Set(strings.TrimSpace(what+" "+(to-from).Digits()), m.cap, turn)
	if err != nil {
		return // the face has all of these letters
	}
	at := behind
	if t.Width <= to-from {
		at = over(t.Width)
	}
	m.items = append(m.items, draw.Fill{Layer: draw.Dimensions, Path: t.At(at), Paint: black})
}
