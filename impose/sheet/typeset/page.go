package typeset

import (
	"fmt"
	"io"
	"slices"

	"github.com/signintech/gopdf"
)

// Box is a rectangle on a page, in points from its top left corner.
type Box struct{ X, Y, W, H float64 }

// Inset returns the box without a margin.
func (b Box) Inset(m float64) Box { return Box{b.X + m, b.Y + m, b.W - 2*m, b.H - 2*m} }

// Bottom returns the lower edge.
func (b Box) Bottom() float64 { return b.Y + b.H }

// Right returns the right edge.
func (b Box) Right() float64 { return b.X + b.W }

// Written is a stretch of text that stands on a page.
type Written struct {
	Page int // first is 1
	Box  Box
	Text string
}

// Document is a PDF of text and line art in black, white and grey, and swatches
// and lines of colour.
type Document struct {
	Texts   []Written // in the order of writing
	pdf     gopdf.GoPdf
	page    int
	loaded  map[string]bool
	setting Setting
	err     error
}

// Setting sets text: how wide it is, where it breaks, what no face has.
type Setting struct {
	missing map[rune]bool
	widths  map[measured]float64 // at a size of 1
}

// Setting returns what sets the document's text.
func (d *Document) Setting() *Setting { return &d.setting }

// NewDocument begins a document whose pages are so large, in points.
func NewDocument(width, height float64, title string) *Document {
	d := &Document{loaded: map[string]bool{}, setting: Setting{missing: map[rune]bool{}, widths: map[measured]float64{}}}
	d.pdf.Start(gopdf.Config{PageSize: gopdf.Rect{W: width, H: height}})
	d.pdf.SetInfo(gopdf.PdfInfo{Title: title, Creator: "quoin", Producer: "gopdf"})
	return d
}

// Add begins a page.
func (d *Document) Add() {
	d.pdf.AddPage()
	d.page++
}

// Missing returns the characters that no face has, in the order of their codes.
func (d *Setting) Missing() []rune {
	var list []rune
	for r := range d.missing {
		list = append(list, r)
	}
	slices.Sort(list)
	return list
}

// Write ends the document. The same calls give the same bytes.
func (d *Document) Write(w io.Writer) error {
	if d.err != nil {
		return d.err
	}
	_, err := d.pdf.WriteTo(w)
	return err
}

// Grey sets the colour of what follows, text too: 0 is black, 1 white.
func (d *Document) Grey(v float64) { d.pdf.SetGrayFill(v) }

// Put writes a line that begins at a point of its baseline and runs in quarter
// turns counter-clockwise from the right.
func (d *Document) Put(text string, s Style, x, y float64, turn int) {
	text = d.setting.settle(text)
	width := d.setting.Width(text, s)
	seen := d.setting.visual(text)
	up, down := reach(seen, s.Bold)
	d.Texts = append(d.Texts, Written{d.page, around(width, up*s.Size, down*s.Size, x, y, turn), text})
	if turn %= 4; turn != 0 {
		d.pdf.Rotate(float64(90*turn), x, y)
		defer d.pdf.RotateReset()
	}
	for _, r := range runs(seen, s.Bold) {
		d.use(r.face, s.Size)
		d.pdf.SetXY(x, y)
		if err := d.pdf.Text(r.text); err != nil && d.err == nil {
			d.err = fmt.Errorf("setting %q: %w", text, err)
		}
		x += measure(r.text, s)
	}
}

// around returns the box of a line that reaches so far up and down.
func around(width, up, down, x, y float64, turn int) Box {
	switch turn % 4 {
	case 1:
		return Box{x - up, y - width, up + down, width}
	case 2:
		return Box{x - width, y - down, width, up + down}
	case 3:
		return Box{x - down, y, up + down, width}
	}
	return Box{x, y - up, width, up + down}
}

// use sets the font, embedding it when it is new.
func (d *Document) use(f *face, size float64) {
	if !d.loaded[f.name] {
		d.loaded[f.name] = true
		if err := d.pdf.AddTTFFontData(f.name, f.data); err != nil && d.err == nil {
			d.err = fmt.Errorf("embedding %s: %w", f.name, err)
		}
	}
	if err := d.pdf.SetFont(f.name, "", size); err != nil && d.err == nil {
		d.err = fmt.Errorf("using %s: %w", f.name, err)
	}
}

// Align says where lines stand in their box.
type Align int

// The ways to align.
const (
	Left Align = iota
	Centre
	Right
)

// Lines writes lines that were wrapped, from the top of the box down.
func (d *Document) Lines(lines []Line, s Style, b Box, align Align) {
	y := b.Y + above*s.Size
	for _, l := range lines {
		x := b.X
		switch align {
		case Centre:
			x += (b.W - l.Width) / 2
		case Right:
			x += b.W - l.Width
		}
		d.Put(l.Text, s, x, y, 0)
		y += leading * s.Size
	}
}

// Sign writes a short word or a number in the middle of a point, its capitals'
// height centred, in quarter turns counter-clockwise.
func (d *Document) Sign(text string, s Style, x, y float64, turn int) {
	along, up := d.setting.Width(text, s)/2, capital*s.Size/2
	switch turn % 4 {
	case 0:
		x, y = x-along, y+up
	case 1:
		x, y = x+up, y+along
	case 2:
		x, y = x+along, y-up
	case 3:
		x, y = x-up, y-along
	}
	d.Put(text, s, x, y, turn)
}
