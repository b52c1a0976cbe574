package impose

import (
	"quoin/geometry"
	"quoin/impose/mark"
)

// A frame for the second surface is printed on the back of a clear film and
// seen through it. It is composed as it is seen, and the press mirrors all of
// it across, marks, targets and slug too. The layout, and all that the summary
// tells of positions, stay those of the printed face: lane 1 is at its left,
// and at the right of what is seen through the film.

// Seen gives the layout as the frame is composed on it: mirrored for the second
// surface. A mirrored label that was turned one way stands turned the other.
func (im *Imposition) Seen() *geometry.Layout {
	if !im.Job.Mirror {
		return im.Layout
	}
	l := *im.Layout
	l.Turn = mirroredTurn(l.Turn)
	l.Block = im.mirrored(l.Block)
	l.Station = make([]geometry.Station, len(im.Layout.Station))
	for i, s := range im.Layout.Station {
		s.Turn, s.Trim, s.Clip = mirroredTurn(s.Turn), im.mirrored(s.Trim), im.mirrored(s.Clip)
		l.Station[i] = s
	}
	return &l
}

func mirroredTurn(t geometry.Turn) geometry.Turn { return (4 - t) % 4 }

// mirrored takes a box from the printed face to what is seen, or back.
func (im *Imposition) mirrored(b geometry.Box) geometry.Box {
	if im.Job.Mirror {
		w := im.Layout.Web.Width
		b.Min.Across, b.Max.Across = w-b.Max.Across, w-b.Min.Across
	}
	return b
}

// mirroredSide is mirrored for a margin.
func (im *Imposition) mirroredSide(s mark.Side) mark.Side {
	switch {
	case im.Job.Mirror && s == mark.Left:
		return mark.Right
	case im.Job.Mirror && s == mark.Right:
		return mark.Left
	}
	return s
}
