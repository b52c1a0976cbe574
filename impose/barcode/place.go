package barcode

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
	"quoin/impose/say"
)

// Pen gathers the text of many symbols, in memory that it uses again.
type Pen struct {
	Texts []draw.Text
	codes []byte
}

// Reset forgets what was gathered.
func (p *Pen) Reset() { p.Texts, p.codes = p.Texts[:0], p.codes[:0] }

// Extend adds a code to those that Extend gave last, or begins new ones with
// nil.
func (p *Pen) Extend(codes []byte, code byte) []byte {
	from := len(p.codes) - len(codes)
	p.codes = append(p.codes, code)
	return p.codes[from:]
}

// Place puts a symbol on the frame with the corner of its outer box that is
// nearest to the left edge and the leading end at p, moved to the nearest
// pixel, and gives the outer box: the quiet zones, in which nothing may be
// painted, and the line that people read are inside. The turn is that of the
// symbol on the frame.
func (z Size) Place(pen *Pen, s *Symbol, p geometry.Position, turn geometry.Turn, paint draw.Paint) geometry.Box {
	b, box := newBench(z, s, p, turn)
	b.pen, b.paint = pen, paint
	if s.Kind.Linear() {
		b.linear(s)
	} else {
		b.grid(s)
	}
	return box
}

// bench is where one symbol is laid out: pixels from the corner at which the
// upright symbol has its top left, x to its right and y down.
type bench struct {
	Size
	pen          *Pen
	paint        draw.Paint
	turn         geometry.Turn
	across, down int // of the corner on the frame

	along, upright axis // of the symbol
}

// newBench returns the bench of a symbol and its outer box on the frame.
func newBench(z Size, s *Symbol, p geometry.Position, turn geometry.Turn) (*bench, geometry.Box) {
	cols, rows := s.Modules()
	w, h := z.outer(Extent{cols, rows}, turn.Swaps())
	b := &bench{Size: z, turn: turn, across: z.dots.nearest(p.Across), down: z.around.dots.nearest(p.Around)}
	b.along, b.upright = z.axes(turn.Swaps())
	box := geometry.Box{Min: b.position(0, 0), Max: b.position(w, h)}
	if turn.Swaps() {
		box.Max = b.position(h, w)
	}
	switch turn % 4 { // to the corner where the upright symbol has its top left
	case geometry.Turn90:
		b.down += w
	case geometry.Turn180:
		b.across, b.down = b.across+w, b.down+h
	case geometry.Turn270:
		b.across += h
	}
	return b, box
}

func (b *bench) position(across, down int) geometry.Position {
	return geometry.Position{Across: b.dots.length(b.across + across), Around: b.around.dots.length(b.down + down)}
}

// at returns the place on the frame of a point of the upright symbol.
func (b *bench) at(x, y int) geometry.Position {
	switch b.turn % 4 {
	case geometry.Turn90:
		return b.position(y, -x)
	case geometry.Turn180:
		return b.position(-x, -y)
	case geometry.Turn270:
		return b.position(-y, x)
	}
	return b.position(x, y)
}

func (b *bench) add(f *draw.Font, codes []byte, line, x, y, emX, emY int) {
	b.pen.Texts = append(b.pen.Texts, draw.Text{
		Layer: draw.Data, Paint: b.paint, Font: f, Codes: codes, Line: line, Turn: b.turn, At: b.at(x, y),
		Em: geometry.Size{Across: b.along.dots.length(emX), Around: b.upright.dots.length(emY)},
	})
}

// grid paints the modules twice, as columns and as rows. At the device's
// resolution either is enough. At any other, shapes that meet inside a pixel
// each cover a part of it, and together leave a light seam that can keep a
// scanner from reading a proof: what the columns leave, the rows cover.
func (b *bench) grid(s *Symbol) {
	x, y := b.quiet.left*b.along.x, b.quiet.left*b.upright.x
	codes := b.codes(func(dst []byte) []byte { return s.Grid.appendColumns(dst) })
	b.add(Columns(), codes, s.Grid.Cols, x, y, b.along.x, b.upright.x)
	codes = b.codes(func(dst []byte) []byte { return s.Grid.appendRows(dst) })
	b.add(Rows(), codes, (s.Grid.Cols+7)/8, x, y, b.along.x, b.upright.x)
}

// codes returns what is appended to the pen's codes.
func (b *bench) codes(add func([]byte) []byte) []byte {
	n := len(b.pen.codes)
	b.pen.codes = add(b.pen.codes)
	return b.pen.codes[n:]
}

func (b *bench) linear(s *Symbol) {
	cols, _ := s.Modules()
	x, height, edge := b.along.x, b.upright.height, b.bearer(b.upright)
	left, top := b.quiet.left*x, edge
	b.bars(s.Bars, [][2]int{{0, cols}}, left, top, height)
	if edge > 0 {
		wide := (cols + b.quiet.left + b.quiet.right) * x
		b.bar(0, 0, wide, edge)
		b.bar(0, top+height, wide, edge)
	}
	if b.plain {
		return
	}
	if guards := guards[s.Kind]; guards != nil {
		// Guard bars reach five modules down between the digits (GS1 General
		// Specifications 5.2; from memory, not checked).
		b.bars(s.Bars, guards, left, top+height, min(5*b.upright.x, b.textHeight(b.upright)))
	}
	baseline := top + height + edge + b.upright.gap() + b.upright.capHeight()
	rest := s.Text
	for _, part := range digitGroups[s.Kind] {
		b.line(rest[:part.digits], left+part.from*x, left+part.to*x, baseline)
		rest = rest[part.digits:]
	}
	if len(digitGroups[s.Kind]) == 0 {
		b.line(s.Text, 0, left+(cols+b.quiet.right)*x, baseline)
	}
}

// bars writes those bars that stand in one of the stretches of modules.
func (b *bench) bars(widths []uint8, stretches [][2]int, x, y, height int) {
	codes := b.codes(func(dst []byte) []byte {
		for i, at := 0, 0; i < len(widths); i += 2 {
			bar, space := widths[i], uint8(0)
			if i+1 < len(widths) {
				space = widths[i+1]
			}
			inside := slices.ContainsFunc(stretches, func(s [2]int) bool { return at >= s[0] && at < s[1] })
			if inside {
				dst = append(dst, barCode(bar, space))
			} else {
				dst = append(dst, barCode(0, bar+space))
			}
			at += int(bar + space)
		}
		return dst
	})
	b.add(barsCut(b.along.x, b.cut), codes, 0, x, y, b.along.x, height)
}

// bar writes one bar of any size.
func (b *bench) bar(x, y, wide, high int) {
	b.add(Bars(), b.pen.Extend(nil, barCode(1, 0)), 0, x, y, wide, high)
}

// guards are the modules of guard bars, and of the digits beside them in a
// UPC-A.
var guards = map[Kind][][2]int{
	EAN13: {{0, 3}, {45, 50}, {92, 95}},
	EAN8:  {{0, 3}, {31, 36}, {64, 67}},
	UPCE:  {{0, 3}, {45, 51}},
	UPCA:  {{0, 10}, {45, 50}, {85, 95}},
}

// digitGroup is where so many digits stand, in modules from the first bar.
type digitGroup struct{ digits, from, to int }

var digitGroups = map[Kind][]digitGroup{
	EAN13: {{1, -10, -2}, {6, 3, 45}, {6, 50, 92}},
	EAN8:  {{4, 3, 31}, {4, 36, 64}},
	UPCE:  {{1, -9, -2}, {6, 3, 45}, {1, 53, 58}},
	UPCA:  {{1, -9, -2}, {5, 10, 45}, {5, 50, 85}, {1, 97, 104}},
}

// line sets text in the middle between two places, squeezed if it must be.
// What the lettering has no glyph for is left out: symbols with data beyond
// it are still symbols, and CanShow tells beforehand.
func (b *bench) line(text string, from, to, baseline int) {
	face := lettering.Regular()
	font := face.Font('0')
	codes := b.codes(func(dst []byte) []byte {
		for _, r := range text {
			if r < 256 && font.Glyphs[r].Means != 0 {
				dst = append(dst, byte(r))
			}
		}
		return dst
	})
	em := int(geometry.Length(b.upright.capHeight()) * font.Em / font.Cap)
	emX := b.upright.dots.scaled(em, b.along.dots)
	wide := font.Advance(codes, geometry.Length(emX)*pixelParts)
	room := geometry.Length(to-from) * pixelParts
	if wide > room {
		emX = int(geometry.Length(emX) * room / wide)
		wide = room
	}
	b.add(font, codes, 0, from+int((room-wide)/2/pixelParts), baseline, emX, em)
}

// pixelParts keeps widths of letters finer than a pixel.
const pixelParts = 1000

// CanShow refuses text that the line below a linear symbol can't show whole.
func CanShow(text string) error {
	font := lettering.Regular().Font('0')
	for _, r := range text {
		if r > 255 || font.Glyphs[r].Means == 0 {
			return say.Refuse(say.Failed, "switch the line below the symbol off", "%q holds %q, which can't be written below the symbol", text, r)
		}
	}
	return nil
}
