package glimpse

import (
	"strings"

	"quoin/impose/pdfobj"
)

// placeText does the operators that say where text goes.
func (k *look) placeText(operator string, v []float64) (done bool) {
	s := &k.state
	switch {
	case is(operator, "BT", v, 0):
		k.begin(matrix{1, 0, 0, 1, 0, 0})
	case is(operator, "ET", v, 0):
	case is(operator, "Tm", v, 6):
		k.begin(matrix(v))
	case is(operator, "Td", v, 2):
		k.begin(matrix{1, 0, 0, 1, v[0], v[1]}.then(k.line))
	case is(operator, "TD", v, 2):
		s.leading = -v[1]
		k.begin(matrix{1, 0, 0, 1, v[0], v[1]}.then(k.line))
	case is(operator, "T*", v, 0):
		k.nextLine()
	case is(operator, "TL", v, 1):
		s.leading = v[0]
	case is(operator, "Tc", v, 1):
		s.char = v[0]
	case is(operator, "Tw", v, 1):
		s.word = v[0]
	case is(operator, "Tz", v, 1):
		s.scale = v[0] / 100
	case is(operator, "Ts", v, 1):
		s.rise = v[0]
	case is(operator, "Tr", v, 1):
		s.mode = int(v[0])
	default:
		return false
	}
	return true
}

func (k *look) begin(m matrix) { k.line, k.pen = m, m }

func (k *look) nextLine() { k.begin(matrix{1, 0, 0, 1, 0, -k.state.leading}.then(k.line)) }

// text does the operators that choose a font and show text.
func (k *look) text(operator string, list []pdfobj.Object, resources pdfobj.Dict) (done bool, err error) {
	s := &k.state
	var text pdfobj.String
	isText := false
	if n := len(list); n > 0 {
		text, isText = list[n-1].(pdfobj.String)
	}
	switch {
	case operator == "Tf" && len(list) == 2:
		s.size = pdfobj.NumberAt(list, 1)
		s.font = k.fontOf(k.r.Dict(resources["Font"])[pdfobj.NameAt(list, 0)])
	case operator == "Tj" && isText && len(list) == 1:
		return true, k.show(string(text))
	case operator == "'" && isText && len(list) == 1:
		k.nextLine()
		return true, k.show(string(text))
	case operator == "\"" && isText && len(list) == 3:
		s.word, s.char = pdfobj.NumberAt(list, 0), pdfobj.NumberAt(list, 1)
		k.nextLine()
		return true, k.show(string(text))
	case operator == "TJ" && len(list) == 1:
		parts, _ := list[0].(pdfobj.Array)
		for i, o := range parts {
			if text, ok := o.(pdfobj.String); !ok {
				k.step(-pdfobj.NumberAt(parts, i) / 1000 * s.size * s.scale)
			} else if err := k.show(string(text)); err != nil {
				return true, err
			}
		}
	default:
		return false, nil
	}
	return true, nil
}

func (k *look) step(by float64) { k.pen = matrix{1, 0, 0, 1, by, 0}.then(k.pen) }

func (k *look) fontOf(o pdfobj.Object) *font {
	ref, ok := o.(pdfobj.Ref)
	if !ok {
		return k.r.font(o)
	}
	number := ref.Num
	if f, known := k.fonts[number]; known {
		return f
	}
	f := k.r.font(o)
	k.fonts[number] = f
	return f
}

// invisible is the mode of text that is not painted; those above make it a clip too.
const invisible = 3

// show paints a text.
func (k *look) show(text string) error {
	s := &k.state
	if s.font == nil || k.returns && strings.Contains(text, "\n") {
		return errContent
	}
	if s.mode > invisible {
		s.veiled = true
	}
	if s.font.glyphs == nil {
		k.reachOf(text)
		return nil
	}
	for _, code := range []byte(text) {
		if s.mode == invisible {
			k.advance(int(code))
			continue
		}
		g := k.r.glyph(s.font, code)
		if !g.known || s.mode != 0 {
			return errContent
		}
		if len(g.path) > 0 {
			m := s.font.matrix.then(matrix{s.size * s.scale, 0, 0, s.size, 0, s.rise}).then(k.pen).then(s.ctm)
			path := newOutline()
			for _, p := range g.path {
				if !path.extend(p.operator, p.numbers, m) {
					return errContent
				}
			}
			k.canvas.fill(path, s.clip, k.with())
		}
		k.advance(int(code))
	}
	return nil
}

// advance moves on behind a glyph (9.4.4).
func (k *look) advance(code int) {
	s := &k.state
	by := s.font.advance(code)*s.size + s.char
	if code == ' ' && !s.font.wide {
		by += s.word
	}
	k.step(by * s.scale)
}

// reachOf paints what a text of outlines may reach as unknown.
func (k *look) reachOf(text string) {
	s := &k.state
	all := nowhere
	for _, code := range s.font.codes(text) {
		b := matrix{s.size * s.scale, 0, 0, s.size, 0, s.rise}.then(k.pen).then(s.ctm).bounds(s.font.reach)
		all.include(point{b.x0, b.y0})
		all.include(point{b.x1, b.y1})
		k.advance(code)
	}
	if s.mode != invisible {
		k.canvas.veil(all, s.clip)
	}
}
