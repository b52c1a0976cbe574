package sheet

import "quoin/impose/sheet/typeset"

// block is a part of a page. k scales its type and what belongs to it.
type block interface {
	// height gives what the block takes at a width.
	height(d *typeset.Document, width, k float64) float64
	// draw draws it into a box of at least that height.
	draw(d *typeset.Document, at typeset.Box, k float64)
}

// words is a paragraph.
type words struct {
	text  string
	style typeset.Style // at k = 1
	align typeset.Align
}

func (w words) lines(d *typeset.Document, width, k float64) ([]typeset.Line, typeset.Style) {
	s := w.style
	s.Size *= k
	return d.Setting().Wrap(w.text, s, width), s
}

func (w words) height(d *typeset.Document, width, k float64) float64 {
	lines, s := w.lines(d, width, k)
	return typeset.Height(len(lines), s.Size)
}

func (w words) draw(d *typeset.Document, at typeset.Box, k float64) {
	lines, s := w.lines(d, at.W, k)
	d.Lines(lines, s, at, w.align)
}

// stack puts blocks below each other.
type stack struct {
	gap    float64
	blocks []block
}

func (s stack) height(d *typeset.Document, width, k float64) float64 {
	h := 0.0
	for i, b := range s.blocks {
		if i > 0 {
			h += s.gap * k
		}
		h += b.height(d, width, k)
	}
	return h
}

func (s stack) draw(d *typeset.Document, at typeset.Box, k float64) {
	for _, b := range s.blocks {
		at.H = b.height(d, at.W, k)
		b.draw(d, at, k)
		at.Y += at.H + s.gap*k
	}
}

// columns puts blocks beside each other, each with its share of the width.
type columns struct {
	gap    float64
	shares []float64
	blocks []block
}

func (c columns) width(i int, width, k float64) float64 {
	total := 0.0
	for _, s := range c.shares {
		total += s
	}
	return (width - c.gap*k*float64(len(c.blocks)-1)) * c.shares[i] / total
}

func (c columns) height(d *typeset.Document, width, k float64) float64 {
	h := 0.0
	for i, b := range c.blocks {
		h = max(h, b.height(d, c.width(i, width, k), k))
	}
	return h
}

func (c columns) draw(d *typeset.Document, at typeset.Box, k float64) {
	x := at.X
	for i, b := range c.blocks {
		w := c.width(i, at.W, k)
		b.draw(d, typeset.Box{X: x, Y: at.Y, W: w, H: at.H}, k)
		x += w + c.gap*k
	}
}

// panel is a block in a frame below a title. A loud one has a black title and
// a thick frame.
type panel struct {
	title string
	body  block
	loud  bool
}

const (
	titleSize = 12.0
	titleBar  = 18.0
	padding   = 5.0
)

func (p panel) height(d *typeset.Document, width, k float64) float64 {
	return (titleBar+2*padding)*k + p.body.height(d, width-2*padding*k, k)
}

func (p panel) draw(d *typeset.Document, at typeset.Box, k float64) {
	bar := typeset.Box{X: at.X, Y: at.Y, W: at.W, H: titleBar * k}
	ground, pen := 0.85, 0.8
	if p.loud {
		ground, pen = 0, 2.2
	}
	d.Fill(bar, ground)
	if p.loud {
		d.Grey(1)
	}
	one(d, p.title, typeset.Style{Size: titleSize * k, Bold: true}, bar.Inset(2*k), typeset.Left)
	d.Grey(0)
	d.Pen(pen)
	d.Rect(at)
	at = typeset.Box{X: at.X + padding*k, Y: bar.Bottom() + padding*k, W: at.W - 2*padding*k, H: at.H - (titleBar+2*padding)*k}
	p.body.draw(d, at, k)
}

// least is the smallest type that a box is filled with, in points, once its text
// was shrunk: that of package leaflets, common practice, no source.
const least = 4.5

// one writes text into a box, shrunk until it fits, in the middle of its height.
func one(d *typeset.Document, text string, s typeset.Style, b typeset.Box, align typeset.Align) {
	s, lines, _ := d.Setting().Fit(text, s, b.W, b.H, min(least, s.Size))
	b.Y += (b.H - typeset.Height(len(lines), s.Size)) / 2
	d.Lines(lines, s, b, align)
}
