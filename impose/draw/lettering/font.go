package lettering

import (
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"

	"quoin/geometry"
	"quoin/impose/draw"
)

// thirds makes the control points of cubic curves whole numbers of units.
const thirds = 3

// Font returns the face's glyphs for the 256 characters that share all but their
// last byte with r: the code of each is that byte. A character without a glyph
// has a Glyph that means nothing. The same block is always the same Font.
func (f *Face) Font(r rune) *draw.Font {
	block := r >> 8
	if made, ok := f.blocks.Load(block); ok {
		return made.(*draw.Font)
	}
	made, _ := f.blocks.LoadOrStore(block, f.block(block))
	return made.(*draw.Font)
}

func (f *Face) block(block rune) *draw.Font {
	units := geometry.Length(f.font.UnitsPerEm())
	set := &draw.Font{
		Name: f.name, Em: thirds * units, Cap: thirds * f.capHeight, Leading: thirds * units,
		Glyphs: make([]draw.Glyph, 256),
	}
	if block != 0 {
		set.Name += "-" + string("0123456789ABCDEF"[block>>4&15]) + string("0123456789ABCDEF"[block&15])
	}
	var buf sfnt.Buffer
	for code := range set.Glyphs {
		r := block<<8 | rune(code)
		index, err := f.font.GlyphIndex(&buf, r)
		if err != nil || index == 0 {
			continue
		}
		outline, err := f.font.LoadGlyph(&buf, index, f.em, nil)
		if err != nil {
			continue // Missing names it
		}
		pen := pen{face: f, height: set.Cap}
		pen.draw(outline)
		advance, err := f.font.GlyphAdvance(&buf, index, f.em, font.HintingNone)
		if err != nil {
			continue
		}
		set.Glyphs[code] = draw.Glyph{Means: r, Advance: pen.scale(geometry.Length(advance)), Path: pen.path}
	}
	return set
}
