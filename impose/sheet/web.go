package sheet

import (
	"quoin/impose/sheet/typeset"
)

// web is the picture of the web as it runs: the printed face, the travel
// upwards, and below each lane what it is, carries and gives.
type web struct {
	c     *Content
	extra float64 // more than the least height, in points, for the picture
}

// What the parts of the picture take at k = 1.
const (
	pictureHeight = 105.0
	headWidth     = 82.0
	headSize      = 10.5
)

// scale returns points for a millimetre across, and around: the same, unless not
// one row would show in the height.
func (w web) scale(width, height float64) (across, around float64) {
	across = width / w.c.Layout.WebMM
	return across, min(across, height/w.pitch())
}

// pitch returns the web that a row takes, in mm: of shaped labels that reach into
// each other, what shows one label of each lane whole.
func (w web) pitch() float64 {
	l := w.c.Layout
	if w.allRows() {
		return l.RepeatMM
	}
	if w.straight() || len(w.c.Stations) == 0 {
		return l.RepeatMM / float64(max(1, l.Around))
	}
	first := map[float64]float64{} // by the lane's left edge
	for _, s := range w.c.Stations {
		if b, seen := first[s.Box.X]; s.Box.Y >= 0 && (!seen || s.Box.Bottom() < b) {
			first[s.Box.X] = s.Box.Bottom()
		}
	}
	pitch := 0.0
	for _, bottom := range first {
		pitch = max(pitch, bottom)
	}
	return pitch
}

// shown returns what the picture shows: the labels or, of a whole frame, the rows
// that one product fills in a lane as one box.
func (w web) shown() []Station {
	if !w.allRows() {
		return w.c.Stations
	}
	var list []Station
	for _, lane := range w.c.Lanes {
		for _, rows := range stretches(w.c, lane.Lane) {
			one := rows[0]
			one.Shape, one.Box.H = nil, rows[len(rows)-1].Box.Bottom()-one.Box.Y
			list = append(list, one)
		}
	}
	return list
}

// allRows reports whether the picture shows the whole frame: where lanes carry
// several products, one row of it would hide most of them.
func (w web) allRows() bool { return w.straight() && len(mixedLanes(w.c)) > 0 }

// tall returns the least height of the picture at k = 1: enough to read the letter
// of a single row, while there are not too many.
func (w web) tall() float64 {
	if !w.allRows() {
		return pictureHeight
	}
	return max(pictureHeight, min(14*float64(w.c.Layout.Around), 2*pictureHeight))
}

func (w web) straight() bool {
	return w.c.Layout.Pattern == "" || w.c.Layout.Pattern == "straight"
}

// edges returns the borders of the lanes' cells: the middles of the gaps, and the
// ends of the whole width for the outer ones.
func (w web) edges(at typeset.Box) []float64 {
	lanes := w.c.Lanes
	across, _ := w.scale(at.W, at.H)
	list := []float64{at.X}
	for i := 1; i < len(lanes); i++ {
		list = append(list, at.X+across*(lanes[i-1].RightMM+lanes[i].LeftMM)/2)
	}
	return append(list, at.Right())
}

func (w web) height(d *typeset.Document, width, k float64) float64 {
	h := w.tall()*k + w.extra
	for _, x := range w.lines(d, width, k) {
		_, high := w.upright(d, x, width, k)
		h += high
	}
	return h
}

func (w web) draw(d *typeset.Document, at typeset.Box, k float64) {
	head := typeset.Box{X: at.X, Y: at.Y, W: headWidth * k, H: w.tall()*k + w.extra}
	picture := typeset.Box{X: head.Right(), Y: at.Y, W: at.W - head.W, H: head.H}
	w.travel(d, head, k)
	w.labels(d, picture, k)
	edges := w.edges(picture)
	y := picture.Bottom()
	for _, x := range w.lines(d, at.W, k) {
		turned, high := w.upright(d, x, at.W, k)
		row := typeset.Box{X: at.X, Y: y, W: at.W, H: high}
		w.line(d, x, row, edges, turned, k)
		y += high
	}
	d.Pen(0.6)
	for _, x := range edges {
		d.Line(x, picture.Bottom(), x, y)
	}
	d.Line(at.X, y, at.Right(), y)
}

// line writes one line of the table.
func (w web) line(d *typeset.Document, x line, row typeset.Box, edges []float64, turned bool, k float64) {
	if x.ends {
		d.Fill(row, 0)
		d.Grey(1)
		defer d.Grey(0)
	}
	d.Pen(0.6)
	d.Line(row.X, row.Y, row.Right(), row.Y)
	one(d, x.head, typeset.Style{Size: headSize * k, Bold: x.size > 20}, typeset.Box{X: row.X + 2*k, Y: row.Y, W: headWidth*k - 5*k, H: row.H}, typeset.Left)
	if x.wraps {
		for i, text := range x.cells {
			room := w.room(row.W, k) // the same for all, so that all break alike
			one(d, text, bold(x.size*k), typeset.Box{X: (edges[i] + edges[i+1] - room) / 2, Y: row.Y, W: room, H: row.H}, typeset.Centre)
		}
		return
	}
	// One size for the whole line: a smaller figure would look like a lesser one.
	size := x.size * k
	for i, text := range x.cells {
		room := edges[i+1] - edges[i] - 3*k
		along := d.Setting().Width(text, typeset.Style{Size: 1, Bold: true})
		if turned {
			size = min(size, room/0.8, (row.H-3*k)/along)
		} else {
			size = min(size, room/along, (row.H-2*k)/0.8)
		}
	}
	s := typeset.Style{Size: size, Bold: true}
	turn := 0
	if turned {
		turn = 1
	}
	for i, text := range x.cells {
		d.Sign(text, s, (edges[i]+edges[i+1])/2, row.Y+row.H/2, turn)
	}
}

// travel draws the arrow of travel.
func (w web) travel(d *typeset.Document, at typeset.Box, k float64) {
	note := words{text: "Printed face. A thick bar is the label's top. Not to scale.", style: plain(8)}
	if w.allRows() {
		note.text = "Printed face of a whole frame. A box is the rows of one product, its thick bar their tops. Not to scale."
	}
	below := typeset.Box{X: at.X, W: at.W - 4*k}
	below.H = note.height(d, below.W, k)
	below.Y = at.Bottom() - below.H - 2*k
	note.draw(d, below, k)
	at.H -= below.H + 2*k
	x := at.X + 0.68*at.W
	d.Arrow(typeset.Point{X: x, Y: at.Bottom() - 3*k}, typeset.Point{X: x, Y: at.Y + 3*k}, 34*k)
	s := typeset.Style{Size: 15 * k, Bold: true}
	if long := d.Setting().Width("TRAVEL", s); long > at.H-8*k {
		s.Size *= (at.H - 8*k) / long
	}
	d.Sign("TRAVEL", s, at.X+0.2*at.W, at.Y+at.H/2, 1)
}

// labels draws the web with the first rows of the frame.
func (w web) labels(d *typeset.Document, at typeset.Box, k float64) {
	l := w.c.Layout
	const torn = 5.0
	inner := typeset.Box{X: at.X, Y: at.Y + torn*k, W: at.W, H: at.H - 2*torn*k}
	across, around := w.scale(inner.W, inner.H)
	w.ground(d, at, torn*k)
	pitch := w.pitch() * around
	window := inner.H
	if w.allRows() {
		window = pitch
	} else if w.straight() {
		window = pitch * float64(min(l.Around, max(1, int(inner.H/pitch+1e-9))))
	}
	top := inner.Y + (inner.H-window)/2
	for _, st := range w.shown() {
		place := func(p typeset.Point) typeset.Point { return typeset.Point{X: at.X + across*p.X, Y: top + around*p.Y} }
		corner := place(typeset.Point{X: st.Box.X, Y: st.Box.Y})
		b := typeset.Box{X: corner.X, Y: corner.Y, W: across * st.Box.W, H: around * st.Box.H}
		if b.Y < top-0.1 || b.Bottom() > top+window+0.1 {
			continue // further on, or across the seam
		}
		if st.Artwork == 0 {
			d.Pen(0.5, 2, 2)
			d.Rect(b)
			continue
		}
		var shape [][]typeset.Point
		for _, contour := range st.Shape {
			var points []typeset.Point
			for _, p := range contour {
				points = append(points, place(p))
			}
			shape = append(shape, points)
		}
		label(d, b, shape, letter(st.Artwork), st.Turn, k)
	}
}

// ground draws the web's material, torn off at both ends.
func (w web) ground(d *typeset.Document, b typeset.Box, torn float64) {
	const teeth = 40
	var points []typeset.Point
	for i := 0; i <= teeth; i++ {
		points = append(points, typeset.Point{X: b.X + b.W*float64(i)/teeth, Y: b.Y + torn*float64(i%2)})
	}
	for i := teeth; i >= 0; i-- {
		points = append(points, typeset.Point{X: b.X + b.W*float64(i)/teeth, Y: b.Bottom() - torn*float64(i%2)})
	}
	d.Pen(0.6)
	d.Shape(0.88, true, points...)
}
