package press

import (
	"fmt"
	"maps"
	"slices"

	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// fonts are the document's fonts by their names among the resources. They are
// written at the end, with the glyphs that were used and no others.
//
// Those drawn here are Type 3 fonts (ISO 32000-1 9.6.5): each glyph is a path filled in the
// colour of the text, so that bars and modules are vectors like any other, and
// hinting can't move their edges. A customer's font is embedded as what it is, see
// writeProgram.
type fonts struct {
	out  *pdfobj.Writer
	list []*font
}

type font struct {
	*draw.Font
	ref  pdfobj.Ref
	used glyphSet
}

// glyphSet tells which codes of a font are used, or which numbers of a program's
// glyphs.
type glyphSet struct {
	codes   [4]uint64
	numbers map[uint16]bool
}

func (s *glyphSet) add(code byte)     { s.codes[code>>6] |= 1 << (code & 63) }
func (s *glyphSet) has(code int) bool { return s.codes[code>>6]>>(code&63)&1 == 1 }

func (s *glyphSet) number(n uint16) {
	if s.numbers == nil {
		s.numbers = map[uint16]bool{}
	}
	s.numbers[n] = true
}

func (s *glyphSet) addAll(other glyphSet) {
	for i := range s.codes {
		s.codes[i] |= other.codes[i]
	}
	for n := range other.numbers {
		s.number(n)
	}
}

// list returns the numbers that are used, in rising order.
func (s *glyphSet) list() []uint16 { return slices.Sorted(maps.Keys(s.numbers)) }

// number returns the font's number in the document.
func (f *fonts) number(d *draw.Font) int {
	for i, known := range f.list {
		if known.Font == d {
			return i
		}
	}
	f.list = append(f.list, &font{Font: d, ref: f.out.Alloc()})
	return len(f.list) - 1
}

// fontName returns the name that a font has on every page.
func fontName(number int) string { return fmt.Sprintf("F%d", number+1) }

func (f *fonts) close() error {
	for _, font := range f.list {
		write := font.write
		if font.Program != nil {
			write = font.writeProgram
		}
		if err := write(f.out); err != nil {
			return fmt.Errorf("font %s: %w", font.Name, err)
		}
	}
	return nil
}

func (f *font) write(out *pdfobj.Writer) error {
	procs := pdfobj.Dict{}
	var differences, widths pdfobj.Array
	first, last := -1, -1
	for code := range f.Glyphs {
		if !f.used.has(code) {
			continue
		}
		if first < 0 {
			first = code
		}
		for range code - max(last, first-1) - 1 {
			widths = append(widths, pdfobj.Integer(0))
		}
		last = code
		name := pdfobj.Name(fmt.Sprintf("g%d", code))
		differences = append(differences, pdfobj.Integer(code), name)
		widths = append(widths, pdfobj.Integer(f.Glyphs[code].Advance))
		program, err := putStream(out, pdfobj.Dict{}, glyphProgram(&f.Glyphs[code]), true)
		if err != nil {
			return err
		}
		procs[name] = program
	}
	if first < 0 {
		first, last = 0, -1
	}
	scale := pdfobj.Real(1 / float64(f.Em))
	zero := pdfobj.Integer(0)
	dict := pdfobj.Dict{
		"Type": pdfobj.Name("Font"), "Subtype": pdfobj.Name("Type3"), "Name": pdfobj.Name(f.Name),
		"FontMatrix": pdfobj.Array{scale, zero, zero, scale, zero, zero},
		"FontBBox":   pdfobj.Array{zero, zero, zero, zero}, // of no meaning: glyphs say their own
		"CharProcs":  procs, "Resources": pdfobj.Dict{},
		"Encoding":  pdfobj.Dict{"Type": pdfobj.Name("Encoding"), "Differences": differences},
		"FirstChar": pdfobj.Integer(first), "LastChar": pdfobj.Integer(last), "Widths": widths,
	}
	if meanings, some := f.meanings(); some {
		ref, err := putStream(out, pdfobj.Dict{}, meanings, true)
		if err != nil {
			return err
		}
		dict["ToUnicode"] = ref
	}
	return out.Put(f.ref, dict)
}

// meanings returns a ToUnicode map (ISO 32000-1 9.10.3), so that the text can be
// searched and checked.
func (f *font) meanings() (cmap []byte, some bool) {
	b := []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CMapName /" + f.Name + " def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<00> <FF>\nendcodespacerange\n")
	for code, g := range f.Glyphs {
		if f.used.has(code) && g.Means != 0 {
			b = fmt.Appendf(b, "1 beginbfchar\n<%02X> <%04X>\nendbfchar\n", code, g.Means)
			some = true
		}
	}
	return append(b, "endcmap\nend\nend\n"...), some
}

// glyphProgram draws one glyph in units of its font; d1 says that it takes the
// colour of the text (ISO 32000-1 table 113).
func glyphProgram(g *draw.Glyph) []byte {
	c := &ops{xy: glyphXY}
	box := g.Path.Bounds()
	x0, y1 := glyphXY(box.Min)
	x1, y0 := glyphXY(box.Max)
	c.op("d1", float64(g.Advance), 0, x0, y0, x1, y1)
	if len(g.Path.Verbs) > 0 {
		c.path(g.Path)
		c.op("f")
	}
	return c.buf
}
