package mark

import "quoin/geometry"

// margin is a target lane, or what the eye mark's track leaves of it.
type margin struct {
	side  Side
	strip span // across
}

// margin returns the widest part of a target lane that no eye track takes.
func (b *bench) margin(side Side) margin {
	web := b.layout.Web
	lane := span{web.Edge, web.Margin()}
	if side == Right {
		lane = span{web.Width - web.Margin(), web.Width - web.Edge}
	}
	var tracks []span
	for _, t := range b.space.taken { // only tracks are taken yet
		tracks = append(tracks, span{t.Min.Across, t.Max.Across})
	}
	m := margin{side, span{lane.from, lane.from}}
	for _, part := range gaps(lane, tracks) {
		if part.length() > m.strip.length() {
			m.strip = part
		}
	}
	return m
}

// centred returns the middle of the strip, so wide, if it is.
func (m margin) centred(width geometry.Length) (span, bool) {
	from := m.strip.from + (m.strip.length()-width)/2
	return span{from, from + width}, width <= m.strip.length()
}

// setGap is the least paper between sets of patches, the slug line and register
// marks, so that each can be told where it begins.
const setGap = 3 * mm

// longest returns the longest stretch along the middle of the margin that is
// free and has paper before and behind; it is empty when there is none.
func (b *bench) longest(m margin, width geometry.Length) (across, around span) {
	across, ok := m.centred(width)
	if !ok {
		return across, span{}
	}
	for _, s := range b.space.along(across, b.space.whole(), b.clear) {
		s = span{s.from + setGap, s.to - setGap}
		if s.length() > around.length() {
			around = s
		}
	}
	return across, around
}
