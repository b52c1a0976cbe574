package artwork

import (
	"math"

	"quoin/impose/pdfobj"
)

// runText runs the text operators, 9.3 and 9.4, and reports whether op is one.
func runText(p *painter, op string, args []pdfobj.Object) bool {
	switch op {
	case "BT":
		p.text, p.line = identity, identity
		p.reach = 0
	case "Tf":
		args = last(args, 2)
		named := pdfobj.NameAt(args, 0)
		p.g.font = remember(p.scope.fonts, named, func() *fontUse {
			return fontOf(p.scan, p.scope.find(p.doc, "Font", named))
		})
		p.g.size, p.g.fontName = pdfobj.NumberAt(args, 1), named
	case "Tr":
		p.g.render = int64(pdfobj.NumberAt(last(args, 1), 0))
	case "Tz":
		p.g.stretch = pdfobj.NumberAt(last(args, 1), 0) / 100
	case "Tc", "Tw":
		p.g.spacing = max(p.g.spacing, math.Abs(pdfobj.NumberAt(last(args, 1), 0)))
	case "TL":
		p.leading = pdfobj.NumberAt(last(args, 1), 0)
	case "Td", "TD":
		args = last(args, 2)
		if op == "TD" {
			p.leading = -pdfobj.NumberAt(args, 1)
		}
		moveText(p, pdfobj.NumberAt(args, 0), pdfobj.NumberAt(args, 1))
	case "Tm":
		if m := matrix(p.args.numbers(last(args, 6))); m.finite() {
			p.text, p.line = m, m
			p.reach = 0
		}
	case "T*":
		moveText(p, 0, -p.leading)
	case "Tj":
		showText(p, last(args, 1))
	case "'", "\"":
		moveText(p, 0, -p.leading)
		showText(p, last(args, 1))
	case "TJ":
		for _, list := range last(args, 1) {
			if a, ok := list.(pdfobj.Array); ok {
				showText(p, a)
			}
		}
	case "ET", "Ts":
	default:
		return false
	}
	return true
}

func moveText(p *painter, x, y float64) {
	if m := (Matrix{1, 0, 0, 1, x, y}).Then(p.line); m.finite() {
		p.text, p.line = m, m
		p.reach = 0
	}
}

// showText paints strings; numbers between them move. Glyph widths are not
// looked up: text counts as lying somewhere within a generous square, because
// only what surely lies outside of the bleed may be left out.
func showText(p *painter, args []pdfobj.Object) {
	codes := 0
	for _, o := range args {
		switch v := o.(type) {
		case pdfobj.String:
			codes += len(v)
			paintGlyphs(p, string(v))
		case pdfobj.Integer, pdfobj.Real:
			p.reach += math.Abs(pdfobj.NumberAt([]pdfobj.Object{v}, 0)) / 1000 * math.Abs(p.g.size)
		}
	}
	if codes == 0 {
		return
	}
	if p.g.font == nil {
		p.resource(p.scope, "Font", p.g.fontName)
	}
	p.reach += float64(codes) * (widest*math.Abs(p.g.size)*max(1, math.Abs(p.g.stretch)) + p.g.spacing)
	u := p.g.font
	if u != nil && p.hidden == 0 {
		u.used = true
		if p.g.render != 3 {
			u.invisible = false
		}
	}
	if u != nil && u.procs != nil {
		p.ground.rough(p, p.g.clip)
		return // its glyphs have painted
	}
	if p.g.render >= 4 { // the letters become a clip that is not followed
		p.g.loose = ^uint64(0)
	}
	m := p.text.Then(p.g.ctm)
	x, y := m.Apply(0, 0)
	around := Rect{x, y, x, y}.Outset((p.reach + 2*math.Abs(p.g.size)) * 1.5 * m.scale())
	// Table 106: modes 0 to 2 fill, stroke or both, 4 to 6 too; 3 shows
	// nothing and 7 only clips.
	if p.ground != nil && p.g.render != 3 && p.g.render != 7 {
		p.ground.rough(p, p.seen(lineOfText(p, m)))
	}
	if r := p.g.render & 3; p.g.render < 7 && (r == 0 || r == 2) {
		p.paint(&p.g.fill, around, p.g.overFill, texts)
		noteFine(p, &p.g.fill, true, math.Abs(p.g.size)*m.scale(), p.g.overFill, x, y)
	}
	if r := p.g.render & 3; p.g.render < 7 && (r == 1 || r == 2) {
		p.paint(&p.g.stroke, around, p.g.overStroke, texts)
	}
}

// lineOfText returns what the line shown so far may take, from where it began.
func lineOfText(p *painter, m Matrix) Rect {
	size := math.Abs(p.g.size)
	r := Rect{-size, -size, p.reach + size, 2 * size}
	if p.g.size < 0 || p.g.stretch < 0 { // whichever way it runs
		r = Rect{-p.reach - size, -2 * size, p.reach + size, 2 * size}
	}
	return m.Bounds(r)
}

// widest is more than the advance of nearly every glyph, in ems.
const widest = 2

// paintGlyphs walks the descriptions of a Type 3 font's glyphs. Each is a small
// content stream that brings its colours or takes the current one.
func paintGlyphs(p *painter, codes string) {
	u := p.g.font
	if u == nil || u.procs == nil || p.g.render == 3 {
		return
	}
	var lent *borrower
	if u.dict["Resources"] == nil {
		lent = p.borrow(u.Ref, p.scope, "the font "+u.Name)
	}
	size := Matrix{p.g.size * p.g.stretch, 0, 0, p.g.size, 0, 0}
	for _, c := range []byte(codes) {
		stream := p.doc.Stream(u.procs[u.glyphs[c]])
		if stream == nil {
			continue
		}
		g := p.g
		g.ctm = u.matrix.Then(size).Then(p.text).Then(p.g.ctm)
		g.stroke = g.fill
		if !g.ctm.finite() {
			continue
		}
		p.inside(stream, &g, repeating, func(bool) {
			p.inGlyphs++
			defer func() { p.inGlyphs-- }()
			p.content(stream, p.scan.scope(u.dict["Resources"], p.scope).lentTo(lent), g, true, p.uncoloured)
		})
	}
}
