package sheet

import (
	"quoin/impose/sheet/typeset"
)

// roll is the picture of a finished roll that pays out: its web hangs down, the
// print towards the viewer, the leading edge at the bottom.
type roll struct {
	face, leading string
	label         [2]float64 // across and around, upright, in mm
	core, outside float64    // diameters in mm; 0: unknown
}

const rollHeight = 168.0

func (r roll) height(_ *typeset.Document, _, k float64) float64 { return rollHeight * k }

// turn returns the quarter turns counter-clockwise that bring the leading edge to
// the bottom.
func (r roll) turn() int {
	return map[string]int{"bottom": 0, "left": 1, "top": 2, "right": 3}[r.leading]
}

func (r roll) draw(d *typeset.Document, at typeset.Box, k float64) {
	if most := 1.2 * rollHeight * k; at.H > most {
		at.Y += (at.H - most) / 2
		at.H = most
	}
	unit := at.H / 100
	ry := 21 * unit
	rx := 0.32 * ry
	core := 0.4
	if r.core > 0 && r.outside > r.core {
		core = max(0.2, min(0.8, r.core/r.outside))
	}
	wide := min(0.62*at.W, 72*unit)
	x0 := at.X + (at.W-wide)/2 + rx/2
	x1 := x0 + wide - rx
	y := at.Y + ry + unit
	tail := typeset.Box{X: x0, Y: y, W: x1 - x0, H: at.Bottom() - y - 11*unit}
	d.Pen(1)
	if r.face == "in" {
		r.tail(d, tail, y+ry, k) // behind the roll
	}
	r.body(d, x0, x1, y, rx, ry)
	if r.face == "out" {
		tail.Y += 0.45 * ry
		tail.H -= 0.45 * ry
		r.tail(d, tail, tail.Y, k) // in front of it
	}
	r.end(d, x0, y, rx, ry, core)
	r.pays(d, typeset.Box{X: at.X, Y: tail.Bottom(), W: at.W, H: 11 * unit}, (x0+x1)/2, k)
}

// body draws the wound web seen from the front.
func (r roll) body(d *typeset.Document, x0, x1, y, rx, ry float64) {
	points := typeset.Ellipse(x1, y, rx, ry, -90, 90)
	points = append(points, typeset.Ellipse(x0, y, rx, ry, 90, 270)...)
	grey := 1.0
	if r.face == "in" {
		grey = 0.8 // the liner is outside
	}
	d.Pen(1)
	d.Shape(grey, true, points...)
}

// end draws the roll's end with the core and some turns of the web.
func (r roll) end(d *typeset.Document, x, y, rx, ry, core float64) {
	d.Pen(1)
	d.Shape(0.95, true, typeset.Ellipse(x, y, rx, ry, 0, 360)...)
	d.Pen(0.4)
	for i := 1; i < 4; i++ {
		share := core + (1-core)*float64(i)/4
		d.Path(typeset.Ellipse(x, y, rx*share, ry*share, 0, 360)...)
	}
	d.Pen(1)
	d.Shape(0.35, true, typeset.Ellipse(x, y, rx*core, ry*core, 0, 360)...)
	d.Shape(1, true, typeset.Ellipse(x, y, rx*core*0.75, ry*core*0.75, 0, 360)...)
}

// tail draws the web that hangs down; it is seen from seen on.
func (r roll) tail(d *typeset.Document, b typeset.Box, seen float64, k float64) {
	d.Fill(b, 0.88)
	d.Pen(1)
	d.Rect(b)
	w, h := r.label[0], r.label[1]
	turn := r.turn()
	if turn%2 == 1 {
		w, h = h, w
	}
	room := typeset.Box{X: b.X, Y: seen, W: b.W, H: b.Bottom() - seen}.Inset(0.06 * b.W)
	scale := min(room.W/w, room.H/h)
	lab := typeset.Box{W: w * scale, H: h * scale}
	lab.X = room.X + (room.W-lab.W)/2
	for y := room.Bottom() - lab.H; y >= seen; y -= lab.H + 0.05*b.W {
		lab.Y = y
		label(d, lab, nil, "TOP", turn, k)
	}
}

// pays draws the arrow at the leading edge.
func (r roll) pays(d *typeset.Document, b typeset.Box, x, k float64) {
	d.Arrow(typeset.Point{X: x, Y: b.Y + k}, typeset.Point{X: x, Y: b.Bottom()}, 0.95*b.H)
	s := typeset.Style{Size: 10 * k, Bold: true}
	one(d, "comes off first", s, typeset.Box{X: x + 0.7*b.H, Y: b.Y, W: b.Right() - x - 0.7*b.H, H: b.H}, typeset.Left)
}
