package glimpse

import "github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"

// placeText does the operators that say where text goes.
func (k *look) placeText(operator string, v []float64) (done bool, err error) {
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
		return false, nil
	}
	return true, nil
}

func (k *look) begin(m matrix) { k.line, k.pen = m, m }

func (k *look) nextLine() { k.begin(matrix{1, 0, 0, 1, 0, -k.state.leading}.then(k.line)) }

// text does the operators that choose a font and show text.
func (k *look) text(operator string, list []operand, resources types.Dict) (done bool, err error) {
	s := &k.state
	isText := len(list) == 1 && list[0].kind == isString
	switch {
	case operator == "Tf" && len(list) == 2 && list[0].kind == isName && list[1].kind == isNumber:
		s.size = list[1].number
		s.font = k.fontOf(k.r.dict(resources["Font"])[list[0].text])
	case operator == "Tj" && isText:
		return true, k.show(list[0].text)
	case operator == "'" && isText:
		k.nextLine()
		return true, k.show(list[0].text)
	case operator == "\"" && len(list) == 3 && list[2].kind == isString:
		s.word, s.char = list[0].number, list[1].number
		k.nextLine()
		return true, k.show(list[2].text)
	case operator == "TJ" && len(list) == 1 && list[0].kind == isArray:
		for _, o := range list[0].list {
			switch o.kind {
			case isNumber:
				k.step(-o.number / 1000 * s.size * s.scale)
			case isString:
				if err := k.show(o.text); err != nil {
					return true, err
				}
			}
		}
	default:
		return false, nil
	}
	return true, nil
}

func (k *look) step(by float64) { k.pen = matrix{1, 0, 0, 1, by, 0}.then(k.pen) }

func (k *look) fontOf(o types.Object) *font {
	ref, ok := o.(types.IndirectRef)
	if !ok {
		return lettering{k.r}.font(o)
	}
	number := ref.ObjectNumber.Value()
	if f, known := k.fonts[number]; known {
		return f
	}
	f := lettering{k.r}.font(o)
	k.fonts[number] = f
	return f
}

// invisible is the mode of text that is not painted; those above make it a clip too.
const invisible = 3

// show paints a text.
func (k *look) show(text string) error {
	s := &k.state
	if s.font == nil {
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
		g := lettering{k.r}.glyph(s.font, code)
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
		all.add(point{b.x0, b.y0})
		all.add(point{b.x1, b.y1})
		k.advance(code)
	}
	if s.mode != invisible {
		k.canvas.veil(all, s.clip)
	}
}
