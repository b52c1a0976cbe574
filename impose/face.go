package impose

import (
	"quoin/geometry"
	"quoin/impose/mark"
)

// face takes positions between the printed face of the web and the face that is
// seen. A frame for the second surface is printed on the back of a clear film
// and seen through it. It is composed as it is seen, and the press mirrors all
// of it across, marks, targets and slug too. The layout, and all that the
// summary tells of positions, stay those of the printed face: lane 1 is at its
// left, and at the right of what is seen through the film. On the first surface
// the two faces are one.
type face struct {
	web      geometry.Length // its width
	mirrored bool            // second surface
}

// layout returns the layout as it is seen. A mirrored label that was turned one
// way stands turned the other.
func (f face) layout(l *geometry.Layout) *geometry.Layout {
	if !f.mirrored {
		return l
	}
	m := *l
	m.Turn = f.turn(l.Turn)
	m.Block = f.box(l.Block)
	m.Station = make([]geometry.Station, len(l.Station))
	for i, s := range l.Station {
		s.Turn, s.Trim, s.Clip = f.turn(s.Turn), f.box(s.Trim), f.box(s.Clip)
		m.Station[i] = s
	}
	return &m
}

func (f face) turn(t geometry.Turn) geometry.Turn {
	if f.mirrored {
		return (4 - t) % 4
	}
	return t
}

// box takes a box from the printed face to what is seen, or back.
func (f face) box(b geometry.Box) geometry.Box {
	if f.mirrored {
		b.Min.Across, b.Max.Across = f.web-b.Max.Across, f.web-b.Min.Across
	}
	return b
}

// side is box for a margin.
func (f face) side(s mark.Side) mark.Side {
	switch {
	case f.mirrored && s == mark.Left:
		return mark.Right
	case f.mirrored && s == mark.Right:
		return mark.Left
	}
	return s
}
