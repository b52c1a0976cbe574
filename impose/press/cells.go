package press

import (
	"math"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// cells are the steps of a page's tiling patterns, from cell to cell, in the
// space of its upright form. Two stations that stand a whole number of cells of
// every pattern apart see the same phase of all, and may share a form.
type cells struct {
	known bool // false: patterns stand where their steps can't be told
	steps [][2]point
}

type point struct{ x, y float64 }

// phaseOff is how far cells may be off where stations share them, in points: a
// micrometre, which placing is held to.
const phaseOff = 0.00283

// cellsOf reads the steps. They are known where all patterns are named by the
// page itself: inside of forms, patterns and annotations they start from spaces
// that only content tells of.
func cellsOf(p *artwork.Page) (cells, error) {
	patterns := named(p.Doc, p.Dict["Resources"])
	deep := len(p.Appearances) > 0
	leads, err := leading(p, func(o pdfobj.Object) bool {
		s, ok := o.(*pdfobj.Stream)
		if !ok {
			return false
		}
		kind, _ := p.Doc.Int(s.Dict["PatternType"])
		form := p.Doc.Name(s.Dict["Subtype"]) == "Form"
		deep = deep || kind == 1 && !patterns[s.Ref] || form && s.Dict["Resources"] == nil
		return kind == 1 && !patterns[s.Ref]
	})
	if err != nil {
		return cells{}, err
	}
	c := cells{known: !deep}
	for ref := range patterns {
		s := p.Doc.Stream(ref)
		if s == nil {
			continue
		}
		if kind, _ := p.Doc.Int(s.Dict["PatternType"]); kind != 1 {
			continue
		}
		c.known = c.known && !leads(ref) && !nested(p, ref)
		c.steps = append(c.steps, stepsOf(p, s.Dict))
	}
	return c, nil
}

// nested reports whether anything but the page's resources uses a pattern of the
// page: a form or another pattern would start it from a space of its own.
func nested(p *artwork.Page, pattern pdfobj.Ref) bool {
	resources := p.Doc.Dict(p.Dict["Resources"])
	for _, category := range []pdfobj.Name{"XObject", "Font", "Pattern", "ExtGState"} {
		for _, o := range p.Doc.Dict(resources[category]) {
			if ref, ok := o.(pdfobj.Ref); ok && ref != pattern && reaches(p.Doc, ref, pattern) {
				return true
			}
		}
	}
	return false
}

// reaches reports whether an object leads to another.
func reaches(d *pdfobj.Document, from, to pdfobj.Ref) bool {
	found := false
	w := newWalk(d, nil)
	w.look(pdfobj.Ref{}, from)
	for len(w.todo) > 0 && !found {
		ref := w.todo[len(w.todo)-1]
		w.todo = w.todo[:len(w.todo)-1]
		found = ref == to
		if o, err := d.Resolve(ref); err == nil {
			w.look(ref, o)
		}
	}
	return found
}

// stepsOf returns the two steps of a pattern (ISO 32000-1 table 75).
func stepsOf(p *artwork.Page, d pdfobj.Dict) [2]point {
	m := artwork.Matrix{1, 0, 0, 1, 0, 0}
	if list := p.Doc.Array(d["Matrix"]); len(list) == 6 {
		for i, o := range list {
			m[i], _ = p.Doc.Number(o)
		}
	}
	x, _ := p.Doc.Number(d["XStep"])
	y, _ := p.Doc.Number(d["YStep"])
	f := p.FormMatrix()
	across := func(a, b float64) point { return point{a*f[0] + b*f[2], a*f[1] + b*f[3]} }
	return [2]point{across(x*m[0], x*m[1]), across(y*m[2], y*m[3])}
}

// agree reports whether two places see the same phase of all patterns.
func (c cells) agree(m, n matrix) bool {
	if m == n {
		return true
	}
	if !c.known || [4]float64(m[:4]) != [4]float64(n[:4]) {
		return false
	}
	dx, dy := m[4]-n[4], m[5]-n[5]
	turned := func(p point) point { return point{p.x*m[0] + p.y*m[2], p.x*m[1] + p.y*m[3]} }
	for _, s := range c.steps {
		a, b := turned(s[0]), turned(s[1])
		det := a.x*b.y - a.y*b.x
		if det == 0 {
			return false
		}
		u, v := (dx*b.y-dy*b.x)/det, (a.x*dy-a.y*dx)/det
		off := math.Abs(u-math.Round(u))*math.Hypot(a.x, a.y) + math.Abs(v-math.Round(v))*math.Hypot(b.x, b.y)
		if !(off < phaseOff) {
			return false
		}
	}
	return true
}
