package sheet

import "quoin/impose/sheet/typeset"

// label draws a label turned counter-clockwise, a thick bar at its top. The
// contours of one that is no plain rectangle are given; the first encloses the
// others, which are holes.
func label(d *typeset.Document, b typeset.Box, contours [][]typeset.Point, name string, turn int, k float64) {
	d.Pen(0.8)
	long := 1.0 // of the bar, as a share of the top
	if len(contours) == 0 {
		d.Fill(b, 1)
		d.Rect(b)
	} else {
		long = 0.4
		for i, c := range contours {
			grey := 1.0
			if i > 0 {
				grey = 0.88
			}
			d.Shape(grey, true, c...)
		}
	}
	thick := min(5*k, 0.12*min(b.W, b.H))
	middle := typeset.Point{X: b.X + b.W/2, Y: b.Y + b.H/2}
	bar := typeset.Box{X: middle.X - long*b.W/2, Y: b.Y, W: long * b.W, H: thick}
	if turn%2 == 1 {
		bar = typeset.Box{X: b.X, Y: middle.Y - long*b.H/2, W: thick, H: long * b.H}
	}
	switch turn % 4 {
	case 0:
		middle.Y += thick / 2
	case 1:
		middle.X += thick / 2
	case 2:
		bar.Y = b.Bottom() - thick
		middle.Y -= thick / 2
	case 3:
		bar.X = b.Right() - thick
		middle.X -= thick / 2
	}
	d.Fill(bar, 0)
	along, up := b.W, b.H
	if turn%2 == 1 {
		along, up = up, along
	}
	if len(contours) > 0 {
		along, up = 0.7*along, 0.7*up
	}
	// One size for all labels of a frame: that of the widest letters.
	size := min(60*k, 0.62*up/0.73, 0.75*along/float64(len(name)))
	if size < 3 {
		return // nobody could read it; the bar tells the top
	}
	d.Sign(name, typeset.Style{Size: size, Bold: true}, middle.X, middle.Y, turn)
}
