package glimpse

import (
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// lettering reads fonts.
type lettering struct{ *reader }

// font is a font of a page. Of one whose glyphs are drawn by content (Type 3) they are
// known; of any other, how far its text reaches at most.
type font struct {
	glyphs map[byte]*glyph // of a Type 3 font; nil for others
	procs  map[byte]types.Object
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
func (r lettering) font(o types.Object) *font {
	d := r.dict(o)
	f := &font{widths: map[int]float64{}, width: 1, reach: usualReach}
	descriptor := r.dict(d["FontDescriptor"])
	switch r.name(d["Subtype"]) {
	case "Type3":
		return r.drawn(d, f)
	case "Type0":
		if encoding := r.name(d["Encoding"]); encoding != "Identity-H" {
			return nil
		}
		f.wide = true
		below := r.array(d["DescendantFonts"])
		if len(below) != 1 {
			return nil
		}
		inner := r.dict(below[0])
		descriptor = r.dict(inner["FontDescriptor"])
		if w, ok := r.number(inner["DW"]); ok {
			f.width = w / 1000
		}
		r.wideWidths(inner["W"], f)
	case "Type1", "TrueType", "MMType1":
		if w, ok := r.number(descriptor["MissingWidth"]); ok && w > 0 {
			f.width = w / 1000
		}
		r.simpleWidths(d, f, 1.0/1000)
	default:
		return nil
	}
	if b := r.numbers(descriptor["FontBBox"]); len(b) == 4 {
		f.reach.add(point{min(b[0], b[2]) / 1000, min(b[1], b[3]) / 1000})
		f.reach.add(point{max(b[0], b[2]) / 1000, max(b[1], b[3]) / 1000})
	}
	return f
}

func (r lettering) simpleWidths(d types.Dict, f *font, scale float64) {
	first, _ := r.number(d["FirstChar"])
	for i, w := range r.numbers(d["Widths"]) {
		f.widths[int(first)+i] = w * scale
	}
}

// wideWidths reads widths by number (9.7.4.3).
func (r lettering) wideWidths(o types.Object, f *font) {
	list := r.array(o)
	for i := 0; i+1 < len(list); {
		first, _ := r.number(list[i])
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
		last, _ := r.number(list[i+1])
		w, _ := r.number(list[i+2])
		for n := int(first); n <= int(last) && n < 1<<16; n++ {
			f.widths[n] = w / 1000
		}
		i += 3
	}
}

// drawn reads a Type 3 font.
func (r lettering) drawn(d types.Dict, f *font) *font {
	m := r.numbers(d["FontMatrix"])
	if len(m) != 6 {
		return nil
	}
	f.matrix, f.width = matrix(m), 0
	f.glyphs, f.procs = map[byte]*glyph{}, map[byte]types.Object{}
	r.simpleWidths(d, f, f.matrix[0])
	procs := r.dict(d["CharProcs"])
	code := 0
	for _, o := range r.array(r.dict(d["Encoding"])["Differences"]) {
		o, _ = r.resolve(o)
		switch o := o.(type) {
		case types.Integer:
			code = int(o)
		case types.Name:
			if code >= 0 && code < 256 && procs[string(o)] != nil {
				f.procs[byte(code)] = procs[string(o)]
			}
			code++
		}
	}
	return f
}

// glyph gives what a code of a Type 3 font draws: nothing where it has none.
func (r lettering) glyph(f *font, code byte) *glyph {
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
	lex := lexer{text: text}
	g.known = false
	filled := false
	for n := 0; ; n++ {
		operator, operands, err := lex.next(nil)
		if err != nil {
			return
		}
		v, numbers := numbersOf(operands)
		switch {
		case operator == "":
			g.known = n > 0 && (filled || len(g.path) == 0)
			return
		case !numbers || filled, (operator == "d1") != (n == 0):
			return
		case operator == "f" && len(v) == 0:
			filled = true
		case operator == "d1" && len(v) == 6, constructs(operator, len(v)):
			if operator != "d1" {
				g.path = append(g.path, segment{operator, v})
			}
		default:
			return
		}
	}
}

// constructs reports whether an operator with so many numbers is one of a path.
func constructs(operator string, numbers int) bool {
	want, ok := map[string]int{"m": 2, "l": 2, "c": 6, "v": 4, "y": 4, "h": 0, "re": 4}[operator]
	return ok && want == numbers
}

// numbersOf gives operands that are all numbers.
func numbersOf(operands []operand) ([]float64, bool) {
	v := make([]float64, len(operands))
	for i, o := range operands {
		if o.kind != isNumber {
			return nil, false
		}
		v[i] = o.number
	}
	return v, true
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
