package draw

import (
	"strings"

	"quoin/geometry"
)

// Program is a font as a customer brings it: its glyphs have numbers of two
// bytes, and which of them stand for a text is for a shaper to say. All of its
// methods may be called by several goroutines, and say the same each time.
type Program interface {
	// Glyph gives a glyph in units of the font. A number that the font doesn't
	// have gives an empty one.
	Glyph(number uint16) Glyph
	// Says gives the letters that a glyph by itself stands for; "" for none.
	Says(number uint16) string
}

// Set is one glyph of a shaped line.
type Set struct {
	Glyph uint16
	At    geometry.Position // of its origin, from the text's, in units of the font
	// Says holds the letters that this glyph and those behind it without any show
	// together, in the order in which they are read.
	Says string
}

// said returns the letters of the text, or its codes.
func (t Text) said() string {
	if t.Set == nil {
		return string(t.Codes)
	}
	var b strings.Builder
	for _, s := range t.Set {
		b.WriteString(s.Says)
	}
	return b.String()
}
