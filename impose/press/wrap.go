package press

import (
	"math"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// Where stations see more phases of a pattern than a few copies could serve, each
// pattern gives way to one whose cell holds all that one label shows of it, and
// whose step is the stations' own. Stations then stand a whole number of such cells
// apart whatever the pattern's own steps are, and share one form for each turn. The
// label's content is not touched: by its name in the resources it paints with the
// large pattern, which holds the small one's cells as forms, row by row. (A pattern
// that paints with a pattern would be shorter, and right by the letter; MuPDF keeps
// the inner one's cells from the first station, as it does without an outer one.)
//
// Take K, the turn and size on the frame of the space that the pattern lies in, and
// M, the pattern's own matrix. The large pattern has the matrix 1/K, so that its axes
// are the frame's and its steps the frame's distances; in it, cells stand under the
// matrix M x K. Together they are M, as before (ISO 32000-1 8.7.2).

// wrapping is how a tiling pattern of an artwork can be wrapped.
type wrapping struct {
	pattern pdfobj.Ref
	matrix  artwork.Matrix // its own
	cell    artwork.Rect   // its box
	dx, dy  float64        // its steps, more than 0
	base    artwork.Matrix // the turn and size of the space that it lies in, on the page
	paged   bool           // the page's own content may paint with it
	boxes   []artwork.Rect // of the forms that may, in their own spaces
}

// wrappings lists the patterns of a page that want wrapping; none where one of
// them can't be: what glyphs paint with, what lies in several turns or sizes, or
// also in another pattern's cells.
func wrappings(p *artwork.Page) ([]wrapping, error) {
	if p.TiledLoose || len(p.Tiled) == 0 {
		return nil, nil
	}
	leads, err := toTiling(p)
	if err != nil {
		return nil, err
	}
	for ref := range p.Turned {
		if leads(ref) {
			return nil, nil
		}
	}
	boxes, others, err := namers(p)
	if err != nil {
		return nil, err
	}
	page := named(p.Doc, p.Dict["Resources"])
	var list []wrapping
	for _, t := range p.Tiled {
		w, ok := wrappingOf(p, t)
		if !ok || others[t.Pattern] || slices.ContainsFunc(list, func(o wrapping) bool { return o.pattern == t.Pattern }) {
			return nil, nil
		}
		w.paged, w.boxes = page[t.Pattern], boxes[t.Pattern]
		list = append(list, w)
	}
	return list, nil
}

func wrappingOf(p *artwork.Page, t artwork.Tiled) (w wrapping, ok bool) {
	s := p.Doc.Stream(t.Pattern)
	if s == nil {
		return w, false
	}
	w = wrapping{pattern: t.Pattern, matrix: artwork.Matrix{1, 0, 0, 1, 0, 0}, base: linear(t.Base)}
	if m, ok := p.Doc.Numbers(s.Dict["Matrix"]); ok && len(m) >= 6 {
		w.matrix = artwork.Matrix(m[:6])
	}
	box, ok := p.Doc.Numbers(s.Dict["BBox"])
	if !ok || len(box) < 4 {
		return w, false
	}
	w.cell = artwork.Matrix{1, 0, 0, 1}.Bounds(artwork.Rect(box[:4]))
	x, _ := p.Doc.Number(s.Dict["XStep"])
	y, _ := p.Doc.Number(s.Dict["YStep"])
	w.dx, w.dy = math.Abs(x), math.Abs(y) // cells of a step and of its opposite stand on the same places
	_, ok = inverse(w.base)
	_, invertible := inverse(w.matrix)
	return w, ok && invertible && w.dx > 0 && w.dy > 0 && !w.cell.Empty()
}

// namers tells which forms name a pattern, by their boxes, and which patterns are
// named by what is no form: by another pattern or a font.
func namers(p *artwork.Page) (boxes map[pdfobj.Ref][]artwork.Rect, others map[pdfobj.Ref]bool, err error) {
	boxes, others = map[pdfobj.Ref][]artwork.Rect{}, map[pdfobj.Ref]bool{}
	err = newWalk(p.Doc, nil).page(p, func(_ pdfobj.Ref, o pdfobj.Object) {
		var d pdfobj.Dict
		switch v := o.(type) {
		case *pdfobj.Stream:
			d = v.Dict
		case pdfobj.Dict:
			d = v
		}
		if d["Resources"] == nil {
			return
		}
		tiling, _ := p.Doc.Int(d["PatternType"])
		box, ok := p.Doc.Numbers(d["BBox"])
		form := tiling == 0 && ok && len(box) >= 4
		for ref := range named(p.Doc, d["Resources"]) {
			if form {
				boxes[ref] = append(boxes[ref], artwork.Matrix{1, 0, 0, 1}.Bounds(artwork.Rect(box[:4])))
			} else {
				others[ref] = true
			}
		}
	})
	return boxes, others, err
}

// named returns the patterns that resources name.
func named(d *pdfobj.Document, resources pdfobj.Object) map[pdfobj.Ref]bool {
	list := map[pdfobj.Ref]bool{}
	for _, o := range d.Dict(d.Dict(resources)["Pattern"]) {
		if ref, ok := o.(pdfobj.Ref); ok {
			list[ref] = true
		}
	}
	return list
}

// linear returns the turn and size of a matrix.
func linear(m artwork.Matrix) artwork.Matrix { return artwork.Matrix{m[0], m[1], m[2], m[3]} }

// inverse returns the matrix that undoes m, if there is one.
func inverse(m artwork.Matrix) (artwork.Matrix, bool) {
	det := m[0]*m[3] - m[1]*m[2]
	if math.Abs(det) < 1e-12 || math.IsNaN(det) || math.IsInf(det, 0) {
		return m, false
	}
	n := artwork.Matrix{m[3] / det, -m[1] / det, -m[2] / det, m[0] / det}
	n[4], n[5] = -(m[4]*n[0] + m[5]*n[2]), -(m[4]*n[1] + m[5]*n[3])
	return n, true
}
