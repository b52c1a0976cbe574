package verify

import (
	"fmt"
	"math"

	"quoin/impose/pdfobj"
)

// wrapped is a tiling pattern of an artwork that stands in the file inside of
// another one, so that stations can share a form whatever the pattern's steps are.
// Where the outer cell covers all that a label shows, what is painted is what the
// artwork's own pattern paints: the outer pattern's matrix after the inner one's is
// the artwork's (ISO 32000-1 8.7.2).
type wrapped struct {
	out    pdfobj.Ref
	object int
	matrix matrix // of the outer pattern, to the space of what names it
	box    box    // of its cell, in its own space
	at     *step
}

// wraps reports whether a stream of the file is an outer pattern for one of the
// artwork, and proves it if it is.
func (c *comparison) wraps(p pair, src, out *pdfobj.Stream, depth int) bool {
	if kind, _ := p.doc.Int(src.Dict["PatternType"]); kind != 1 {
		return false
	}
	inner := c.out.Stream(c.out.Dict(c.out.Dict(out.Dict["Resources"])["Pattern"])["Inner"])
	if inner == nil {
		return false
	}
	cell, ok := boxOf(c.out, out.Dict["BBox"])
	painted, fills := c.fillOf(out)
	if !ok || !fills {
		return false // a pattern of the artwork's own, or none at all: compared as any other
	}
	ref, _ := p.out.(pdfobj.Ref)
	w := wrapped{out: ref, object: ref.Num, matrix: c.matrixOf(c.out, out.Dict), box: cell, at: p.path}
	if fault := c.wrapFault(p.doc, src, out, inner, w, painted); fault != "" {
		c.differs(p.path, ObjectValue, "the pattern around the artwork's %s", fault)
	}
	for _, key := range out.Dict.Keys() {
		switch key {
		case "Type", "PatternType", "PaintType", "TilingType", "BBox", "XStep", "YStep", "Matrix", "Resources", "Length":
		default:
			c.differs(p.path, ObjectAdded, "the pattern around the artwork's has %s", key)
		}
	}
	own, copied := *src, *inner
	own.Dict, copied.Dict = src.Dict.Clone(), inner.Dict.Clone()
	delete(own.Dict, "Matrix")
	delete(copied.Dict, "Matrix")
	c.wrappedList = append(c.wrappedList, w)
	c.streams(p, &own, &copied, depth)
	return true
}

// wrapFault says what an outer pattern does wrongly.
func (c *comparison) wrapFault(doc *pdfobj.Document, src, out, inner *pdfobj.Stream, w wrapped, painted box) string {
	paint, _ := c.out.Int(out.Dict["PaintType"])
	theirs, _ := doc.Int(src.Dict["PaintType"])
	x, _ := c.out.Number(out.Dict["XStep"])
	y, _ := c.out.Number(out.Dict["YStep"])
	names := c.out.Dict(out.Dict["Resources"])
	mine, own := c.matrixOf(c.out, inner.Dict), c.matrixOf(doc, src.Dict)
	back, ok := own.inverse()
	switch {
	case paint != 1 || theirs == 2:
		return "takes its colour from elsewhere"
	case len(names) != 1 || len(c.out.Dict(names["Pattern"])) != 1:
		return "names more than it"
	case x < w.box[2]-w.box[0]-micrometre || y < w.box[3]-w.box[1]-micrometre:
		return fmt.Sprintf("has cells of %s mm x %s mm in steps of %s mm x %s mm, which overlap", mm(w.box[2]-w.box[0]), mm(w.box[3]-w.box[1]), mm(x), mm(y))
	case !painted.contains(w.box):
		return "paints a part of its cell"
	case !ok:
		return "is wrapped though its matrix can't be undone"
	}
	for _, corner := range w.box.corners() {
		if at := mine.apply(back.apply(w.matrix.apply(corner))); !(distance(at, corner) <= micrometre) {
			return fmt.Sprintf("puts it %s off", um(distance(at, corner)))
		}
	}
	return ""
}

// fillOf gives the rectangle that content fills with the inner pattern, and
// whether that is all it does.
func (c *comparison) fillOf(out *pdfobj.Stream) (b box, ok bool) {
	var ops []string
	s := pdfobj.NewContentScanner(c.out.Content(out))
	for s.Next() && len(ops) < 5 {
		op := s.Operation()
		ops = append(ops, op.Operator)
		switch op.Operator {
		case "cs":
			ok = nameOf(op.Operands, 0) == "Pattern"
		case "scn":
			ok = ok && nameOf(op.Operands, 0) == "Inner"
		case "re":
			v := numbers(op.Operands, 4)
			b = box{v[0], v[1], v[0] + v[2], v[1] + v[3]}
		}
	}
	return b, ok && s.Err() == nil && fmt.Sprint(ops) == "[cs scn re f]"
}

// covers proves that outer cells hold all that those who name their patterns can
// paint with them: forms within their boxes, the page within a station's clip.
func (c *comparison) covers() {
	for _, w := range c.wrappedList {
		to, ok := w.matrix.inverse()
		if !ok {
			c.differs(w.at, ObjectValue, "the pattern around the artwork's has a matrix that can't be undone")
			continue
		}
		for pair := range c.seen {
			d := c.out.Dict(pair[1])
			if !c.names(d["Resources"], w.out) {
				continue
			}
			b, ok := boxOf(c.out, d["BBox"])
			if tiling, _ := c.out.Int(d["PatternType"]); tiling != 0 || !ok || !w.box.contains(b.transformed(to)) {
				c.differs(w.at, ObjectValue, "the pattern around the artwork's doesn't cover what object %d may paint with it", pair[1].Num)
			}
		}
	}
}

// names reports whether resources name a pattern.
func (c *comparison) names(resources pdfobj.Object, pattern pdfobj.Ref) bool {
	for _, o := range c.out.Dict(c.out.Dict(resources)["Pattern"]) {
		if o == pdfobj.Object(pattern) {
			return true
		}
	}
	return false
}

// patterns proves that a station shows nothing beyond the outer cells of the
// patterns that its artwork's page names.
func (c *check) patterns(at string, p painted, to matrix) {
	if p.clip.empty() {
		return
	}
	for _, w := range c.wrapped[p.form] {
		back, ok := to.inverse()
		inner, invertible := w.matrix.inverse()
		if !ok || !invertible || !w.box.contains(p.clip.transformed(back.then(inner))) {
			c.differs(ObjectValue, at, "the cell of object %d, the pattern around one of the artwork's, doesn't cover all that the label shows", w.object)
		}
	}
}

func (c *comparison) matrixOf(doc *pdfobj.Document, d pdfobj.Dict) matrix {
	if v, ok := doc.Numbers(d["Matrix"]); ok && len(v) >= 6 {
		return matrix(v[:6])
	}
	return identity
}

// inverse gives the matrix that undoes m, if there is one.
func (m matrix) inverse() (matrix, bool) {
	det := m[0]*m[3] - m[1]*m[2]
	if !(math.Abs(det) > 1e-12) {
		return m, false
	}
	n := matrix{m[3] / det, -m[1] / det, -m[2] / det, m[0] / det}
	o := n.apply(point{m[4], m[5]})
	n[4], n[5] = -o.x, -o.y
	return n, true
}

// contains reports whether a box holds another, to a micrometre.
func (b box) contains(c box) bool {
	return c[0] >= b[0]-micrometre && c[1] >= b[1]-micrometre && c[2] <= b[2]+micrometre && c[3] <= b[3]+micrometre
}
