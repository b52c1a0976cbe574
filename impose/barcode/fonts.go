package barcode

import (
	"sync"

	"quoin/geometry"
	"quoin/impose/draw"
)

// unit is a module in the fonts' units.
const unit = 1000

// spaces is how many widths of space the codes of bars tell apart.
const spaces = 50

// Bars gives the font of linear symbols: each glyph is a bar of 0 to 4 modules
// and a space behind it, one em wide and high.
var Bars = sync.OnceValue(func() *draw.Font {
	f := &draw.Font{Name: "bars", Em: unit, Glyphs: make([]draw.Glyph, 5*spaces)}
	for code := range f.Glyphs {
		bar, space := geometry.Length(code/spaces), geometry.Length(code%spaces)
		f.Glyphs[code].Advance = (bar + space) * unit
		if bar > 0 {
			f.Glyphs[code].Path = draw.Rectangle(geometry.Box{Max: geometry.Position{Across: bar * unit, Around: unit}})
		}
	}
	return f
})

// barCode gives the code of a bar and the space behind it.
func barCode(bar, space uint8) byte { return bar*spaces + space }

// Modules gives the font of matrix symbols: each glyph is eight modules one
// below another, dark where its code has a bit, the topmost in the lowest.
var Modules = sync.OnceValue(func() *draw.Font {
	f := &draw.Font{Name: "modules", Em: unit, Leading: 8 * unit, Glyphs: make([]draw.Glyph, 256)}
	for code := range f.Glyphs {
		f.Glyphs[code].Advance = unit
		for row := 0; row < 8; row++ {
			from := row
			for row < 8 && code>>row&1 == 1 {
				row++
			}
			if row > from {
				f.Glyphs[code].Path.Append(draw.Rectangle(geometry.Box{
					Min: geometry.Position{Around: geometry.Length(from) * unit},
					Max: geometry.Position{Across: unit, Around: geometry.Length(row) * unit},
				}))
			}
		}
	}
	return f
})
