package barcode

import (
	"fmt"
	"sync"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/draw/lettering"
)

// unit is a module in the fonts' units.
const unit = 1000

// spaces is how many widths of space the codes of bars tell apart.
const spaces = 25

// widestBar is the widest bar in modules, that of a DataBar's finder.
const widestBar = 9

// Bars gives the font of linear symbols: each glyph is a bar of 0 to 9 modules
// and a space behind it, one em wide and high.
var Bars = sync.OnceValue(func() *draw.Font { return newBars("bars", unit, 0) })

// newBars makes a font of bars that are so much narrower than their modules, in
// units of the font. Half of it, rounded down, is taken from the left.
func newBars(name string, em, cut geometry.Length) *draw.Font {
	f := &draw.Font{Name: name, Em: em, Glyphs: make([]draw.Glyph, (widestBar+1)*spaces)}
	for code := range f.Glyphs {
		bar, space := geometry.Length(code/spaces), geometry.Length(code%spaces)
		f.Glyphs[code].Advance = (bar + space) * em
		if bar > 0 {
			f.Glyphs[code].Path = draw.Rectangle(geometry.Box{
				Min: geometry.Position{Across: cut / 2}, Max: geometry.Position{Across: bar*em - (cut - cut/2), Around: em},
			})
		}
	}
	return f
}

// cutBars keeps the fonts of reduced bars, because fonts are told apart by their
// addresses.
var cutBars sync.Map

// barsCut returns the font of bars that lose so many of a module's pixels. A pixel
// is a whole number of the font's units, so that edges stay on pixels.
func barsCut(module, cut int) *draw.Font {
	if cut == 0 {
		return Bars()
	}
	const pixel = 100
	name := fmt.Sprintf("bars-%d-less-%d", module, cut)
	if f, ok := cutBars.Load(name); ok {
		return f.(*draw.Font)
	}
	whole := geometry.Length(cut/2*2) * pixel // halves that are whole pixels
	f := newBars(name, geometry.Length(module)*pixel, whole)
	if cut%2 == 1 {
		for i := spaces; i < len(f.Glyphs); i++ {
			g := &f.Glyphs[i]
			b := g.Path.Bounds()
			b.Max.Across -= pixel
			g.Path = draw.Rectangle(b)
		}
	}
	kept, _ := cutBars.LoadOrStore(name, f)
	return kept.(*draw.Font)
}

// barCode returns the code of a bar and the space behind it.
func barCode(bar, space uint8) byte { return bar*spaces + space }

// Columns gives the first font of matrix symbols: each glyph is eight modules
// one below another, dark where its code has a bit, the topmost in the lowest.
var Columns = sync.OnceValue(func() *draw.Font { return modules("columns", 1, 8) })

// Rows gives the second one: eight modules side by side, the leftmost in the
// lowest bit.
var Rows = sync.OnceValue(func() *draw.Font { return modules("rows", 8, 1) })

// modules makes a font of glyphs that are a column or a row of eight modules.
func modules(name string, across, down geometry.Length) *draw.Font {
	f := &draw.Font{Name: name, Em: unit, Leading: down * unit, Glyphs: make([]draw.Glyph, 256)}
	for code := range f.Glyphs {
		g := &f.Glyphs[code]
		g.Advance = across * unit
		for i := 0; i < 8; i++ {
			from := i
			for i < 8 && code>>i&1 == 1 {
				i++
			}
			if i == from {
				continue
			}
			run := geometry.Box{Min: geometry.Position{Around: geometry.Length(from) * unit}, Max: geometry.Position{Across: unit, Around: geometry.Length(i) * unit}}
			if across > down {
				run = geometry.Box{Min: geometry.Position{Across: geometry.Length(from) * unit}, Max: geometry.Position{Across: geometry.Length(i) * unit, Around: unit}}
			}
			g.Path.Append(draw.Rectangle(run))
		}
	}
	return f
}

// Fonts returns the fonts that symbols of the size are set in.
func (z Size) Fonts() []*draw.Font {
	if !z.kind.Linear() {
		return []*draw.Font{Columns(), Rows()}
	}
	list := []*draw.Font{barsCut(z.x, z.cut)}
	if f := barsCut(z.around.x, z.cut); f != list[0] {
		list = append(list, f)
	}
	if z.kind == ITF14 && z.cut > 0 {
		list = append(list, Bars()) // the bearer bars
	}
	if !z.plain {
		list = append(list, lettering.Regular().Font('0'))
	}
	return list
}
