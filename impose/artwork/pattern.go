package artwork

import (
	"math"
	"slices"

	"quoin/impose/artwork/function"
	"quoin/impose/pdfobj"
)

// patternUse is a pattern, 8.7.
type patternUse struct {
	ref     pdfobj.Ref
	stream  *pdfobj.Stream // of a tiling pattern
	colours bool           // PaintType 1: it brings its own colours
	shading pdfobj.Object  // of a shading pattern
	matrix  Matrix
	scope   *scope // where the pattern was found
}

func (s *scan) readPattern(o pdfobj.Object, sc *scope) *patternUse {
	d := s.doc.Dict(o)
	if d == nil {
		return nil
	}
	u := &patternUse{matrix: identity, scope: sc}
	u.ref, _ = o.(pdfobj.Ref)
	if m, ok := s.doc.Numbers(d["Matrix"]); ok && len(m) >= 6 && Matrix(m[:6]).finite() {
		u.matrix = Matrix(m[:6])
	}
	if kind, _ := s.doc.Int(d["PatternType"]); kind == 2 {
		u.shading = d["Shading"]
		return u
	}
	s.page.Tiling = true
	u.stream = s.doc.Stream(o)
	paint, _ := s.doc.Int(d["PaintType"])
	u.colours = paint != 2
	return u
}

// Tiled is a tiling pattern that the page, a form or an annotation paints with.
// One that only stands in another pattern's cells is none.
type Tiled struct {
	Pattern pdfobj.Ref
	// Base maps the space that the pattern lies in (8.7.2) to the page's. Where
	// the same is used at several places, it is that of the first.
	Base Matrix
}

// maxTiled bounds the list; a page of more ways is like no other label.
const maxTiled = 256

// noteTiled notes that a tiling pattern is painted with.
func (p *painter) noteTiled(u *patternUse) {
	if u == nil || u.stream == nil || p.inCells > 0 {
		return
	}
	known := slices.ContainsFunc(p.page.Tiled, func(t Tiled) bool { return t.Pattern == u.ref && t.Base.sameTurn(p.base) })
	switch {
	case known:
	case u.ref.IsZero(), p.inGlyphs > 0, len(p.page.Tiled) == maxTiled:
		p.page.TiledLoose = true
	default:
		p.page.Tiled = append(p.page.Tiled, Tiled{u.ref, p.base})
	}
}

// noteTurn notes that a form is painted. What is painted in more than one turn or
// size is not walked for each, so the patterns in it are used in ways that
// nothing tells.
func (s *scan) noteTurn(form pdfobj.Ref, base Matrix) {
	if first, ok := s.turns[form]; ok && !first.sameTurn(base) {
		s.turned[form] = true
	} else if !ok {
		s.turns[form] = base
	}
}

// sameTurn reports whether two matrices differ in where they move things only.
func (m Matrix) sameTurn(n Matrix) bool {
	slack := 1e-9 * max(m.scale(), n.scale())
	for i := range 4 {
		if !(math.Abs(m[i]-n[i]) <= slack) {
			return false
		}
	}
	return true
}

// paintPattern notes that a pattern is painted within bounds, which are cut
// to the clip already.
func (p *painter) paintPattern(c *colour, bounds Rect, over bool, w what) {
	u := c.pattern
	switch {
	case u == nil:
	case u.shading != nil:
		p.paintShading(u.shading, u.scope, bounds, over, w)
	case u.stream == nil:
	default:
		if !u.colours && c.space.base != nil {
			p.paintSpace(c.space.base, c.values, bounds, over, w)
		}
		// The pattern lies in the space of the stream that it was defined
		// for (8.7.2), not in that of the object it fills.
		g := p.initialState(u.matrix.Then(p.base))
		g.clip = bounds
		g.overFill, g.overStroke, g.mode, g.normal = p.g.overFill, p.g.overStroke, p.g.mode, p.g.normal
		if over {
			g.overFill, g.overStroke = true, true
		}
		if !u.colours && c.space.base != nil {
			g.fill = colour{space: c.space.base, values: c.values}
			g.stroke = g.fill
		}
		var lent *borrower
		if u.stream.Dict["Resources"] == nil {
			lent = p.borrow(u.stream.Ref, u.scope, "a pattern")
		}
		p.inside(u.stream, &g, repeating, func(bool) {
			p.inCells++
			defer func() { p.inCells-- }()
			p.checkFilters(u.stream, "a pattern")
			p.content(u.stream, p.scan.scope(u.stream.Dict["Resources"], u.scope).lentTo(lent), g, true, !u.colours)
		})
	}
}

// shade runs sh, which paints a shading over all of the clip.
func (p *painter) shade(name pdfobj.Name) {
	if o := p.resource(p.scope, "Shading", name); o != nil && p.masking == 0 {
		p.ground.rough(p, p.g.clip)
		p.paintShading(o, p.scope, p.g.clip, p.g.overFill, shadings)
	}
}

// paintShading notes the inks of a shading, 8.7.4.5. Where the colours come
// from a function of one input, as in axial and radial shadings, it is
// followed, so that a fade of black alone is black alone.
func (p *painter) paintShading(o pdfobj.Object, sc *scope, bounds Rect, over bool, w what) {
	d := p.doc.Dict(o)
	if d == nil {
		return
	}
	w |= shadings
	sp := spaceOf(p.scan, d["ColorSpace"], sc, false, 0)
	f := p.scan.function(d["Function"])
	if f == nil || f.Inputs() != 1 || f.Outputs() != sp.n || sp.family == indexedSpace {
		p.paintSpace(sp, nil, bounds, over, w)
		return
	}
	low, high := f.Domain(0)
	if v, ok := p.doc.Numbers(d["Domain"]); ok && len(v) >= 2 {
		low, high = v[0], v[1]
	}
	p.paintSpace(sp, most(f, low, high, sp.family), bounds, over, w)
}

// steps is at how many places a shading's function is looked at. A stop
// between two of them is less than half a per cent of the way.
const steps = 256

// most returns one colour that has all the ink that the function gives
// anywhere: the largest of each component, or the smallest where that is
// more ink.
func most(f *function.Function, low, high float64, of family) []float64 {
	out := f.At(low)
	for i := 1; i <= steps; i++ {
		for j, v := range f.At(low + (high-low)*float64(i)/steps) {
			if of == graySpace || of == rgbSpace {
				out[j] = math.Min(out[j], v)
			} else {
				out[j] = math.Max(out[j], v)
			}
		}
	}
	return out
}
