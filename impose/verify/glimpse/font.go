package glimpse

import (
	"bytes"
	"slices"

	"quoin/impose/pdfobj"
)

// font is a font of a page. Of one whose glyphs are drawn by content (Type 3) they are
// known; of any other, how far its text reaches at most.
type font struct {
	glyphs map[byte]*glyph // of a Type 3 font; nil for others
	procs  map[byte]pdfobj.Object
	matrix matrix // from the glyphs' space to that of text
	wide   bool   // codes have two bytes
	widths map[int]float64
	width  float64 // of codes that widths doesn't have
	reach  box     // of any glyph, from its own origin, in ems, y up
}

// glyph is the outline of a Type 3 glyph in its own space, as path operators.
type glyph struct {
	path  []segment
	known bool
}

// segment is a path operator with its points.
type segment struct {
	operator string
	numbers  []float64
}

// usualReach is what every glyph is taken to reach, whatever its font says of all
// together: common practice, no source.
var usualReach = box{-0.25, -0.4, 1.1, 1.1}

// font reads a font (ISO 32000-1 9.6, 9.7); nil where its text could be anywhere.
func (r reader) font(o pdfobj.Object) *font {
	d := r.Dict(o)
	f := &font{widths: map[int]float64{}, width: 1, reach: usualReach}
	descriptor := r.Dict(d["FontDescriptor"])
	switch r.Name(d["Subtype"]) {
	case "Type3":
		return r.drawn(d, f)
	case "Type0":
		if encoding := r.Name(d["Encoding"]); encoding != "Identity-H" {
			return nil
		}
		f.wide = true
		below := r.Array(d["DescendantFonts"])
		if len(below) != 1 {
			return nil
		}
		inner := r.Dict(below[0])
		descriptor = r.Dict(inner["FontDescriptor"])
		if w, ok := r.Number(inner["DW"]); ok {
			f.width = w / 1000
		}
		r.wideWidths(inner["W"], f)
	case "Type1", "TrueType", "MMType1":
		if w, ok := r.Number(descriptor["MissingWidth"]); ok && w > 0 {
			f.width = w / 1000
		}
		r.simpleWidths(d, f, 1.0/1000)
	default:
		return nil
	}
	if b := r.numbers(descriptor["FontBBox"]); len(b) == 4 {
		f.reach.include(point{min(b[0], b[2]) / 1000, min(b[1], b[3]) / 1000})
		f.reach.include(point{max(b[0], b[2]) / 1000, max(b[1], b[3]) / 1000})
	}
	return f
}

func (r reader) simpleWidths(d pdfobj.Dict, f *font, scale float64) {
	first, _ := r.Number(d["FirstChar"])
	for i, w := range r.numbers(d["Widths"]) {
		f.widths[int(first)+i] = w * scale
	}
}

// wideWidths reads widths by number (9.7.4.3).
func (r reader) wideWidths(o pdfobj.Object, f *font) {
	list := r.Array(o)
	for i := 0; i+1 < len(list); {
		first, _ := r.Number(list[i])
		if a := r.numbers(list[i+1]); a != nil {
			for n, w := range a {
				f.widths[int(first)+n] = w / 1000
			}
			i += 2
			continue
		}
		if i+2 >= len(list) {
			return
		}
		last, _ := r.Number(list[i+1])
		w, _ := r.Number(list[i+2])
		for n := int(first); n <= int(last) && n < 1<<16; n++ {
			f.widths[n] = w / 1000
		}
		i += 3
	}
}

// drawn reads a Type 3 font.
func (r reader) drawn(d pdfobj.Dict, f *font) *font {
	m := r.numbers(d["FontMatrix"])
	if len(m) != 6 {
		return nil
	}
	f.matrix, f.width = matrix(m), 0
	f.glyphs, f.procs = map[byte]*glyph{}, map[byte]pdfobj.Object{}
	r.simpleWidths(d, f, f.matrix[0])
	procs := r.Dict(d["CharProcs"])
	code := 0
	for _, o := range r.Array(r.Dict(d["Encoding"])["Differences"]) {
		v, _ := r.Resolve(o)
		switch v := v.(type) {
		case pdfobj.Integer:
			code = int(v)
		case pdfobj.Name:
			if code >= 0 && code < 256 && procs[v] != nil {
				f.procs[byte(code)] = procs[v]
			}
			code++
		}
	}
	return f
}

// glyph returns what a code of a Type 3 font draws: nothing where it has none.
func (r reader) glyph(f *font, code byte) *glyph {
	if g := f.glyphs[code]; g != nil {
		return g
	}
	g := &glyph{known: true}
	if proc := f.procs[code]; proc != nil {
		if text, err := r.content(proc); err != nil {
			g.known = false
		} else {
			g.read(text)
		}
	}
	f.glyphs[code] = g
	return g
}

// read takes a glyph that is filled in the text's colour by one path.
func (g *glyph) read(text []byte) {
	content := scan(text)
	g.known = false
	filled := false
	for n := 0; content.Next(); n++ {
		op := content.Latest()
		v, numbers := numbersOf(op)
		switch {
		case !numbers || filled, (op.Operator == "d1") != (n == 0):
			return
		case op.Operator == "f" && len(v) == 0:
			filled = true
		case op.Operator == "d1" && len(v) == 6, constructs(op.Operator, len(v)):
			if op.Operator != "d1" {
				g.path = append(g.path, segment{op.Operator, slices.Clone(v)})
			}
		default:
			return
		}
	}
	g.known = ended(content) == nil && (filled || len(g.path) == 0)
}

// constructs reports whether an operator with so many numbers is one of a path.
func constructs(operator string, numbers int) bool {
	want, ok := map[string]int{"m": 2, "l": 2, "c": 6, "v": 4, "y": 4, "h": 0, "re": 4}[operator]
	return ok && want == numbers
}

// scan cuts content into operations, the next of which overwrites the one before.
func scan(text []byte) *pdfobj.ContentScanner {
	c := pdfobj.NewContentScanner(bytes.NewReader(text))
	c.Reuse, c.Plain = true, true
	return c
}

// ended fails where content ends before it should.
func ended(c *pdfobj.ContentScanner) error {
	if op := c.Latest(); len(op.Operands)+len(op.Numbers) > 0 {
		return errContent
	}
	return c.Err()
}

// numbersOf returns operands that are all numbers.
func numbersOf(op *pdfobj.Operation) ([]float64, bool) {
	if len(op.Operands) == 0 {
		return op.Numbers, true
	}
	v := make([]float64, len(op.Operands))
	for i, o := range op.Operands {
		if !number(o) {
			return nil, false
		}
		v[i] = pdfobj.NumberAt(op.Operands, i)
	}
	return v, true
}

// number reports whether an operand is one.
func number(o pdfobj.Object) bool {
	switch o.(type) {
	case pdfobj.Integer, pdfobj.Real:
		return true
	}
	return false
}

// codes cuts a text into the codes of its glyphs.
func (f *font) codes(text string) (list []int) {
	if !f.wide {
		for _, b := range []byte(text) {
			list = append(list, int(b))
		}
		return list
	}
	for i := 0; i+1 < len(text); i += 2 {
		list = append(list, int(text[i])<<8|int(text[i+1]))
	}
	return list
}

func (f *font) advance(code int) float64 {
	if w, ok := f.widths[code]; ok {
		return w
	}
	return f.width
}
