package verify

import (
	"quoin/impose/pdfobj"
)

// font is a Type 3 font: where the glyphs of each code reach, and how far they
// advance, in the space of the text.
type font struct {
	boxes  map[byte]box
	widths map[byte]float64
	any    bool // another kind of font, whose glyphs are not looked at
}

func (r *reader) font(name pdfobj.Name) *font {
	o := r.resource("Font", name)
	ref, isRef := o.(pdfobj.Ref)
	if f := r.fonts[ref]; isRef && f != nil {
		return f
	}
	d := r.doc.Dict(o)
	f := &font{boxes: map[byte]box{}, widths: map[byte]float64{}, any: r.doc.Name(d["Subtype"]) != "Type3"}
	if isRef {
		r.fonts[ref] = f
	}
	m := identity
	if v, ok := r.doc.Numbers(d["FontMatrix"]); ok && len(v) == 6 {
		m = matrix(v)
	}
	procs := r.doc.Dict(d["CharProcs"])
	code := 0
	for _, e := range r.doc.Array(r.doc.Dict(d["Encoding"])["Differences"]) {
		if n, ok := r.doc.Int(e); ok {
			code = int(n)
			continue
		}
		if code < 0 || code > 255 {
			break
		}
		if s := r.doc.Stream(procs[r.doc.Name(e)]); s != nil {
			if b := r.glyph(s); !b.empty() {
				f.boxes[byte(code)] = b.transformed(m)
			}
		}
		code++
	}
	first, _ := r.doc.Int(d["FirstChar"])
	widths, _ := r.doc.Numbers(d["Widths"])
	for i, w := range widths {
		if c := int(first) + i; c >= 0 && c < 256 {
			f.widths[byte(c)] = w * m[0]
		}
	}
	return f
}

// glyph returns the box of the points that a glyph's description draws.
func (r *reader) glyph(s *pdfobj.Stream) box {
	b := nowhere
	inner := &reader{doc: r.doc, g: begin(everywhere), tell: func(p painted) {
		for _, part := range p.parts {
			b = b.including(point{part[0], part[1]}).including(point{part[2], part[3]})
		}
	}}
	inner.newPath()
	c := pdfobj.NewContentScanner(r.doc.Content(s))
	for c.Next() {
		op := c.Operation()
		inner.pathOperator(op.Operator, op.Operands)
	}
	return b
}

func (r *reader) textOperator(op string, args []pdfobj.Object) bool {
	switch op {
	case "BT":
		r.text, r.lineStart = identity, identity
	case "ET":
		r.endText()
	case "Tf":
		r.g.font, r.g.size = pdfobj.NameAt(args, len(args)-2), numbers(args, 1)[0]
	case "TL":
		r.g.leading = numbers(args, 1)[0]
	case "Ts":
		r.g.rise = numbers(args, 1)[0]
	case "Tc":
		r.g.spacing = numbers(args, 1)[0]
	case "Tw":
		r.g.wordSpacing = numbers(args, 1)[0]
	case "Tz":
		r.g.stretch = numbers(args, 1)[0] / 100
	case "Tr":
		r.g.set(r.doc, "Tr", last(args))
	case "Td", "TD":
		v := numbers(args, 2)
		if op == "TD" {
			r.g.leading = -v[1]
		}
		r.nextLine(v[0], v[1])
	case "Tm":
		r.text = matrix(numbers(args, 6))
		r.lineStart = r.text
	case "T*":
		r.nextLine(0, -r.g.leading)
	case "Tj":
		r.show(args)
	case "'":
		r.nextLine(0, -r.g.leading)
		r.show(args)
	case "TJ":
		if a, ok := last(args).(pdfobj.Array); ok {
			r.show(a)
		}
	case "\"":
		v := numbers(args[:max(0, len(args)-1)], 2)
		r.g.wordSpacing, r.g.spacing = v[0], v[1]
		r.nextLine(0, -r.g.leading)
		r.show(args[max(0, len(args)-1):])
	default:
		return false
	}
	return true
}

func (r *reader) nextLine(x, y float64) {
	r.lineStart = matrix{1, 0, 0, 1, x, y}.then(r.lineStart)
	r.text = r.lineStart
}

// show takes up a run of text. All that stands between BT and ET in one colour
// is one thing.
func (r *reader) show(args []pdfobj.Object) {
	f := r.font(r.g.font)
	p := painted{what: "text", box: nowhere, inks: r.g.fill.use(), overprint: r.g.over, layer: r.layer(), state: r.g.effects(r.g.over)}
	if f.any {
		p.what = "text of a font that was not made for this file"
	}
	if w := r.written; w != nil && (w.what != p.what || w.overprint != p.overprint || !sameInks(w.inks, p.inks)) {
		r.endText()
	}
	if r.written == nil {
		r.written = &p
	}
	for _, a := range args {
		if n, ok := number(a); ok {
			r.text = matrix{1, 0, 0, 1, -n / 1000 * r.g.size * r.g.stretch, 0}.then(r.text)
		}
		codes, _ := a.(pdfobj.String)
		for _, code := range []byte(codes) {
			r.glyphAt(f, code)
		}
	}
}

func (r *reader) glyphAt(f *font, code byte) {
	w := r.written
	b, ok := f.boxes[code]
	if f.any {
		b, ok = r.g.clip, true // it might stand anywhere
	} else {
		b = b.transformed(matrix{r.g.size * r.g.stretch, 0, 0, r.g.size, 0, r.g.rise}.then(r.text).then(r.g.ctm))
	}
	if b = b.intersect(r.g.clip); ok && !b.empty() {
		w.box = w.box.including(point{b[0], b[1]}).including(point{b[2], b[3]})
		w.parts = append(w.parts, b)
	}
	advance := f.widths[code]*r.g.size + r.g.spacing
	if code == ' ' {
		advance += r.g.wordSpacing
	}
	r.text = matrix{1, 0, 0, 1, advance * r.g.stretch, 0}.then(r.text)
}

// endText tells of the text so far.
func (r *reader) endText() {
	if w := r.written; w != nil && !w.box.empty() {
		r.tell(*w)
	}
	r.written = nil
}
