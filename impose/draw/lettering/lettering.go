// Package lettering sets text as outlines on the frame, so that what is
// written on a press file needs no font: the slug line, lane numbers, the
// line under a barcode.
//
// The faces are the Go fonts (Bigelow & Holmes, BSD licence), which cover
// Latin, Greek and Cyrillic. They carry no kerning, so glyphs stand at their
// advance widths.
package lettering

import (
	"fmt"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/say"
)

// Face is one cut of the lettering.
type Face struct {
	name      string
	file      []byte
	font      *sfnt.Font
	em        fixed.Int26_6 // at this size a font unit is exactly one pixel
	capHeight geometry.Length
	blocks    sync.Map // *draw.Font by the rune without its last byte
}

// The faces. All figures have one width, in Regular and Bold too.
var (
	Regular = sync.OnceValue(func() *Face { return parse("regular", goregular.TTF) })
	Bold    = sync.OnceValue(func() *Face { return parse("bold", gobold.TTF) })
	Mono    = sync.OnceValue(func() *Face { return parse("mono", gomono.TTF) })
)

// parse reads a font that is built into the program: it can only fail when the
// program itself is broken.
func parse(name string, ttf []byte) *Face {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("lettering: the built-in font: " + err.Error())
	}
	face := &Face{name: name, file: ttf, font: f, em: fixed.I(int(f.UnitsPerEm()))}
	m, err := f.Metrics(new(sfnt.Buffer), face.em, font.HintingNone)
	if err != nil {
		panic("lettering: the built-in font: " + err.Error())
	}
	face.capHeight = geometry.Length(m.CapHeight.Round())
	return face
}

// File returns the face as a TrueType file.
func (f *Face) File() []byte { return f.file }

// Text is a line of text as outlines. Its origin, the left end of the
// baseline, stands at the frame's origin until Path is moved.
type Text struct {
	Path  draw.Path       // to be filled; one closed part for each contour
	Width geometry.Length // sum of the advance widths, along the baseline
	Cap   geometry.Length // height of a flat capital
	Turn  geometry.Turn
}

// NoGlyph refuses a text for the characters that a face has no glyph for.
func NoGlyph(text string, missing []rune) error {
	words := make([]string, len(missing))
	for i, r := range missing {
		words[i] = fmt.Sprintf("%q (U+%04X)", r, r)
	}
	return say.Refuse(say.Failed, "write it in Latin, Greek or Cyrillic letters", "%q has characters without a glyph: %s", text, strings.Join(words, ", "))
}

// Missing returns the characters of the text that the face has no glyph for, in
// the order of the text and each once.
func (f *Face) Missing(text string) []rune {
	var buf sfnt.Buffer
	var out []rune
	for _, r := range text {
		if g, err := f.font.GlyphIndex(&buf, r); (err != nil || g == 0) && !strings.ContainsRune(string(out), r) {
			out = append(out, r)
		}
	}
	return out
}

// Set sets one line of text with capitals of the given height, turned
// counter-clockwise: Turn90 reads towards the travel. The height must be
// positive. A character without a glyph is refused, never a box.
// Outlines are exact to the nanometre but for the control points of curves,
// which are rounded to it.
func (f *Face) Set(text string, capHeight geometry.Length, turn geometry.Turn) (Text, error) {
	if capHeight <= 0 {
		return Text{}, fmt.Errorf("text with a capital height of %s can't be set", capHeight)
	}
	if missing := f.Missing(text); len(missing) > 0 {
		return Text{}, NoGlyph(text, missing)
	}
	pen := pen{face: f, height: capHeight, turn: turn}
	var buf sfnt.Buffer
	for _, r := range text {
		glyph, err := f.font.GlyphIndex(&buf, r)
		if err != nil {
			return Text{}, fmt.Errorf("%q: %w", r, err)
		}
		outline, err := f.font.LoadGlyph(&buf, glyph, f.em, nil)
		if err != nil {
			return Text{}, fmt.Errorf("outline of %q: %w", r, err)
		}
		pen.draw(outline)
		advance, err := f.font.GlyphAdvance(&buf, glyph, f.em, font.HintingNone)
		if err != nil {
			return Text{}, fmt.Errorf("width of %q: %w", r, err)
		}
		pen.x += geometry.Length(advance)
	}
	return Text{pen.path, pen.scale(pen.x), capHeight, turn}, nil
}

// Box returns what the text takes from the baseline to the height of capitals,
// over its whole width. Descenders and accents reach beyond it.
func (t Text) Box() geometry.Box {
	end := geometry.Position{Across: t.Width, Around: -t.Cap}.Turned(t.Turn)
	return geometry.Box{
		Min: geometry.Position{Across: min(0, end.Across), Around: min(0, end.Around)},
		Max: geometry.Position{Across: max(0, end.Across), Around: max(0, end.Around)},
	}
}

// At returns the text moved so that its Box starts at p.
func (t Text) At(p geometry.Position) draw.Path {
	from := t.Box().Min
	return t.Path.Moved(geometry.Size{Across: p.Across - from.Across, Around: p.Around - from.Around})
}
