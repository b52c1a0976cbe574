package preview

import (
	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/ink"
)

const mm = geometry.Millimetre

// Measures stand outside of the web: those across below it, those around at
// its right. Each line of measures is so far from the one before.
const (
	measureStep = 7 * mm
	measureCap  = 2500 * geometry.Micrometre
	measureLine = 150 * geometry.Micrometre
	measureLift = measureCap + 1000*geometry.Micrometre // of the text's top over its line
)

// dimensions draws the layout's measures: web and band, the first label and
// the gap behind it, across and around, and the repeat.
func dimensions(l *geometry.Layout) []draw.Item {
	m := measures{l: l}
	width, first := l.Web.Width, l.Station[0].Trim
	band := [2]geometry.Length{l.Web.Margin(), width - l.Web.Margin()}
	m.across(1, first.Min.Across, first.Max.Across, "label")
	if l.Across > 1 {
		m.across(1, first.Max.Across, first.Max.Across+l.Gap.Across, "gap")
	}
	m.across(2, band[0], band[1], "band")
	m.across(3, 0, width, "web")
	m.around(1, first.Min.Around, first.Max.Around, "label")
	if l.Around > 1 {
		m.around(1, first.Max.Around, first.Max.Around+l.Gap.Around, "gap")
	}
	m.around(2, 0, l.Repeat, "repeat")
	return m.items
}

type measures struct {
	l     *geometry.Layout
	items []draw.Item
}

var black = draw.Solid(ink.Black)

// across draws a measure below the web, on the line of that number.
func (m *measures) across(line int, from, to geometry.Length, what string) {
	at := m.l.Repeat + geometry.Length(line)*measureStep
	pos := func(a geometry.Length) geometry.Position { return geometry.Position{Across: a, Around: at} }
	tick := geometry.Size{Around: mm}
	m.line(pos(from), pos(to), tick)
	m.text(what, from, to, geometry.Turn0,
		func(width geometry.Length) geometry.Position {
			return pos((from + to - width) / 2).Add(geometry.Size{Around: -measureLift})
		},
		geometry.Position{Across: to + mm, Around: at - measureCap/2})
}

// around draws a measure at the right of the web.
func (m *measures) around(line int, from, to geometry.Length, what string) {
	at := m.l.Web.Width + geometry.Length(line)*measureStep
	pos := func(r geometry.Length) geometry.Position { return geometry.Position{Across: at, Around: r} }
	m.line(pos(from), pos(to), geometry.Size{Across: mm})
	m.text(what, from, to, geometry.Turn90,
		func(width geometry.Length) geometry.Position {
			return pos((from + to - width) / 2).Add(geometry.Size{Across: -measureLift})
		},
		geometry.Position{Across: at - measureCap/2, Around: to + mm})
}

// line draws a measure's line with a tick at both ends.
func (m *measures) line(a, b geometry.Position, tick geometry.Size) {
	back := geometry.Size{Across: -tick.Across, Around: -tick.Around}
	for _, p := range []draw.Path{
		draw.Segment(a, b),
		draw.Segment(a.Add(back), a.Add(tick)),
		draw.Segment(b.Add(back), b.Add(tick)),
	} {
		m.items = append(m.items, draw.Stroke{Layer: draw.Dimensions, Path: p, Width: measureLine, Paint: black})
	}
}

// text writes a measure over the middle of its line or, where the line is too
// short for it, behind its end. Both are where the text's box begins.
func (m *measures) text(what string, from, to geometry.Length, turn geometry.Turn, over func(width geometry.Length) geometry.Position, behind geometry.Position) {
	t, err := lettering.Regular().Set(what+" "+(to-from).Digits(), measureCap, turn)
	if err != nil {
		return // the face has all of these letters
	}
	at := behind
	if t.Width <= to-from {
		at = over(t.Width)
	}
	m.items = append(m.items, draw.Fill{Layer: draw.Dimensions, Path: t.At(at), Paint: black})
}
