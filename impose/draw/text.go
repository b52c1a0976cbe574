package draw

import "quoin/geometry"

// Font is a set of small shapes that are drawn again and again: the letters of
// a face, or the bars and modules of barcodes. A file holds each of them once,
// and a Text names them by a byte each: that keeps a label of variable data
// down to a few dozen bytes.
//
// Fonts are told apart by their addresses, and never change once drawn with.
type Font struct {
	Name    string          // for people; unique among the fonts of a file
	Em      geometry.Length // the size that outlines and advances are given at
	Cap     geometry.Length // height of a flat capital at that size; 0: no letters
	Leading geometry.Length // from line to line at that size
	Glyphs  []Glyph         // by code; at most 256
	Program Program         // of a font whose glyphs have numbers instead of codes; nil for others
}

// Glyph is one shape of a font.
type Glyph struct {
	Means   rune            // the character that it shows; 0: none
	Advance geometry.Length // from its origin to that of the next one
	Path    Path            // filled, about the origin; Around grows downwards
}

// Text paints glyphs of a font along straight lines.
type Text struct {
	Layer Layer
	Paint Paint
	Font  *Font
	Codes []byte
	Line  int               // codes on each line; 0: all on one
	At    geometry.Position // origin of the first glyph, on the baseline
	Turn  geometry.Turn     // of the lines, counter-clockwise
	Em    geometry.Size     // size along the line and upright to it
	Set   []Set             // instead of Codes and Line, where the font is a Program
}

// On returns the layer of the text.
func (t Text) On() Layer { return t.Layer }

// Fill returns the same as outlines.
func (t Text) Fill() Fill {
	var p Path
	for _, s := range t.Set {
		g := t.Font.Program.Glyph(s.Glyph)
		p.Verbs = append(p.Verbs, g.Path.Verbs...)
		for _, q := range g.Path.Points {
			p.Points = append(p.Points, t.place(geometry.Position{Across: s.At.Across + q.Across, Around: s.At.Around + q.Around}))
		}
	}
	var pen geometry.Position
	for i, c := range t.Codes {
		if t.Line > 0 && i > 0 && i%t.Line == 0 {
			pen.Across, pen.Around = 0, pen.Around+t.Font.Leading
		}
		g := &t.Font.Glyphs[c]
		p.Verbs = append(p.Verbs, g.Path.Verbs...)
		for _, q := range g.Path.Points {
			p.Points = append(p.Points, t.place(geometry.Position{Across: pen.Across + q.Across, Around: pen.Around + q.Around}))
		}
		pen.Across += g.Advance
	}
	return Fill{t.Layer, p, t.Paint}
}

// Advance returns how far the line goes that holds the codes, at the text's size.
func (f *Font) Advance(codes []byte, em geometry.Length) geometry.Length {
	var sum geometry.Length
	for _, c := range codes {
		sum += f.Glyphs[c].Advance
	}
	return sum.Scaled(em, f.Em)
}

// place takes a point of the unscaled text to the frame.
func (t Text) place(q geometry.Position) geometry.Position {
	step := geometry.Position{Across: q.Across.Scaled(t.Em.Across, t.Font.Em), Around: q.Around.Scaled(t.Em.Around, t.Font.Em)}
	return t.At.Add(geometry.Size(step.Turned(t.Turn)))
}
