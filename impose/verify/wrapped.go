package verify

import (
	"fmt"
	"math"

	"quoin/impose/pdfobj"
)

// wrapped is a tiling pattern of an artwork in whose place stands one with a cell
// of the label's size, so that stations can share a form whatever the pattern's
// steps are. Where that cell covers all that a label shows, it must hold all cells
// of the artwork's pattern that meet it, each at its place: the large pattern's
// matrix after the cells' is the artwork's (ISO 32000-1 8.7.2).
type wrapped struct {
	out    pdfobj.Ref
	object int
	matrix matrix // of the large pattern, to the space of what names it
	box    box    // of its cell, in its own space
	at     *step
}

// large is what a large pattern paints.
type large struct {
	under matrix  // of the cells
	at    []point // where in that space cells stand
	cell  *pdfobj.Stream
}

// wraps reports whether a stream of the file is a large pattern for one of the
// artwork, and proves it if it is.
func (c *comparison) wraps(p pair, src, out *pdfobj.Stream, depth int) bool {
	kind, _ := p.doc.Int(src.Dict["PatternType"])
	held, ok := readLarge(c.out, out)
	box, isBox := boxOf(c.out, out.Dict["BBox"])
	if kind != 1 || !ok || !isBox {
		return false // the artwork's own pattern, or none at all: compared as any other
	}
	ref, _ := p.out.(pdfobj.Ref)
	w := wrapped{out: ref, object: ref.Num, matrix: matrixOf(c.out, out.Dict), box: box, at: p.path}
	if fault := w.fault(c.out, p.doc, src, out, held); fault != "" {
		c.differs(p.path, ObjectValue, "the pattern in place of the artwork's %s", fault)
	}
	for _, key := range out.Dict.Keys() {
		switch key {
		case "Type", "PatternType", "PaintType", "TilingType", "BBox", "XStep", "YStep", "Matrix", "Resources", "Length":
		default:
			c.differs(p.path, ObjectAdded, "the pattern in place of the artwork's has %s", key)
		}
	}
	// The small cell is the artwork's pattern as a form, without what says that it
	// is a pattern; a pattern has no more (table 75).
	own, cell := *src, *held.cell
	own.Dict, cell.Dict = pdfobj.Dict{}, cell.Dict.Clone()
	for _, key := range []pdfobj.Name{"BBox", "Resources", "Filter", "DecodeParms"} {
		if v := src.Dict[key]; v != nil {
			own.Dict[key] = v
		}
	}
	delete(cell.Dict, "Type")
	if len(c.out.Dict(cell.Dict["Resources"])) == 0 && own.Dict["Resources"] == nil {
		delete(cell.Dict, "Resources")
	}
	if mine, ok := boxOf(p.doc, src.Dict["BBox"]); ok {
		if theirs, _ := boxOf(c.out, cell.Dict["BBox"]); theirs != mine {
			c.differs(p.path, ObjectValue, "a cell of the pattern has the box %v, not %v", theirs, mine)
		}
		delete(own.Dict, "BBox")
		delete(cell.Dict, "BBox")
		delete(cell.Dict, "Subtype")
		own.Dict["PatternType"], cell.Dict["PatternType"] = pdfobj.Integer(1), pdfobj.Integer(1) // both may borrow resources
	}
	c.wrappedList = append(c.wrappedList, w)
	c.streams(p, &own, &cell, depth)
	return true
}

// fault says what a large pattern of the file does wrongly.
func (w wrapped) fault(file, doc *pdfobj.Document, src, out *pdfobj.Stream, held large) string {
	paint, _ := file.Int(out.Dict["PaintType"])
	theirs, _ := doc.Int(src.Dict["PaintType"])
	x, _ := file.Number(out.Dict["XStep"])
	y, _ := file.Number(out.Dict["YStep"])
	own := matrixOf(doc, src.Dict)
	back, ok := own.inverse()
	switch {
	case paint != theirs:
		return "takes its colour from elsewhere"
	case x < w.box[2]-w.box[0]-micrometre || y < w.box[3]-w.box[1]-micrometre:
		return fmt.Sprintf("has cells of %s mm x %s mm in steps of %s mm x %s mm, which overlap", mm(w.box[2]-w.box[0]), mm(w.box[3]-w.box[1]), mm(x), mm(y))
	case !ok:
		return "stands for one whose matrix can't be undone"
	}
	for _, corner := range w.box.corners() {
		if at := held.under.apply(back.apply(w.matrix.apply(corner))); !(distance(at, corner) <= micrometre) {
			return fmt.Sprintf("puts its cells %s off", um(distance(at, corner)))
		}
	}
	return w.cellFault(doc, src, held)
}

// maxCells bounds how many cells of a pattern are looked at.
const maxCells = 1 << 20

// cellFault says which cell of a pattern a large one lacks, or has besides.
func (w wrapped) cellFault(doc *pdfobj.Document, src *pdfobj.Stream, held large) string {
	dx, _ := doc.Number(src.Dict["XStep"])
	dy, _ := doc.Number(src.Dict["YStep"])
	cell, ok := boxOf(doc, src.Dict["BBox"])
	back, invertible := held.under.inverse()
	dx, dy = math.Abs(dx), math.Abs(dy)
	if !ok || !invertible || !(dx > 0 && dy > 0) {
		return "stands for one without cells"
	}
	has := map[[2]int]bool{}
	for _, p := range held.at {
		i, j := math.Round(p.x/dx), math.Round(p.y/dy)
		if off := distance(p, point{i * dx, j * dy}); off > micrometre {
			return fmt.Sprintf("has a cell %s off its place", um(off))
		}
		at := [2]int{int(i), int(j)}
		if has[at] {
			return "has a cell twice"
		}
		has[at] = true
	}
	r := w.box.transformed(back)
	left, right := math.Floor((r[0]-cell[2])/dx), math.Ceil((r[2]-cell[0])/dx)
	bottom, top := math.Floor((r[1]-cell[3])/dy), math.Ceil((r[3]-cell[1])/dy)
	if !((right-left+1)*(top-bottom+1) <= maxCells) {
		return "stands for one of too many cells"
	}
	for i := left; i <= right; i++ {
		for j := bottom; j <= top; j++ {
			b := box{cell[0] + i*dx, cell[1] + j*dy, cell[2] + i*dx, cell[3] + j*dy}
			if b.transformed(held.under).overlaps(w.box) && !has[[2]int{int(i), int(j)}] {
				return fmt.Sprintf("lacks the cell %g, %g", i, j)
			}
		}
	}
	return ""
}

// readLarge reads what a large pattern paints: rows of cells, and nothing else.
func readLarge(file *pdfobj.Document, out *pdfobj.Stream) (held large, ok bool) {
	row := onlyForm(file, out.Dict["Resources"], "Row")
	if row == nil || row.Dict["Matrix"] != nil || row.Dict["Group"] != nil {
		return held, false
	}
	held.cell = onlyForm(file, row.Dict["Resources"], "Cell")
	if held.cell == nil || held.cell.Dict["Matrix"] != nil || held.cell.Dict["Group"] != nil {
		return held, false
	}
	under, rows, ok := moved(file, out, "Row")
	if !ok {
		return held, false
	}
	plain, cells, ok := moved(file, row, "Cell")
	frame, isBox := boxOf(file, row.Dict["BBox"])
	cell, isCell := boxOf(file, held.cell.Dict["BBox"])
	if !ok || plain != identity || !isBox || !isCell || len(rows)*len(cells) > maxCells {
		return held, false
	}
	held.under = under
	for _, x := range cells {
		if !frame.contains(box{cell[0] + x.x, cell[1] + x.y, cell[2] + x.x, cell[3] + x.y}) {
			return held, false
		}
		for _, y := range rows {
			held.at = append(held.at, point{x.x + y.x, x.y + y.y})
		}
	}
	return held, true
}

// onlyForm returns the one thing that resources hold, a form of this name; or nil.
func onlyForm(file *pdfobj.Document, resources pdfobj.Object, name pdfobj.Name) *pdfobj.Stream {
	d := file.Dict(resources)
	forms := file.Dict(d["XObject"])
	s := file.Stream(forms[name])
	if len(d) != 1 || len(forms) != 1 || s == nil || file.Name(s.Dict["Subtype"]) != "Form" {
		return nil
	}
	return s
}

// moved reads content that paints a form at places and does nothing else, all of
// it under one matrix.
func moved(file *pdfobj.Document, s *pdfobj.Stream, name pdfobj.Name) (under matrix, at []point, ok bool) {
	under = identity
	var now *point
	content := pdfobj.NewContentScanner(file.Content(s))
	inside := false
	for content.Next() {
		op := content.Operation()
		switch {
		case op.Operator == "cm" && !inside && at == nil && under == identity:
			under = matrix(numbers(op.Operands, 6))
		case op.Operator == "q" && !inside:
			inside, now = true, &point{}
		case op.Operator == "cm" && inside && now != nil:
			m := matrix(numbers(op.Operands, 6))
			if [4]float64(m[:4]) != [4]float64(identity[:4]) {
				return under, nil, false
			}
			now.x, now.y = now.x+m[4], now.y+m[5]
		case op.Operator == "Do" && inside && now != nil && pdfobj.NameAt(op.Operands, 0) == name:
			at, now = append(at, *now), nil
		case op.Operator == "Q" && inside && now == nil:
			inside = false
		default:
			return under, nil, false
		}
	}
	return under, at, content.Err() == nil && !inside && len(at) > 0
}

// covers proves that large cells hold all that those who name their patterns can
// paint with them: forms within their boxes, the page within a station's clip.
func (c *comparison) covers() {
	for _, w := range c.wrappedList {
		to, ok := w.matrix.inverse()
		if !ok {
			c.differs(w.at, ObjectValue, "the pattern in place of the artwork's has a matrix that can't be undone")
			continue
		}
		for pair := range c.seen {
			d := c.out.Dict(pair[1])
			if !namesPattern(c.out, d["Resources"], w.out) {
				continue
			}
			b, ok := boxOf(c.out, d["BBox"])
			if tiling, _ := c.out.Int(d["PatternType"]); tiling != 0 || !ok || !w.box.contains(b.transformed(to)) {
				c.differs(w.at, ObjectValue, "the pattern in place of the artwork's doesn't cover what object %d may paint with it", pair[1].Num)
			}
		}
	}
}

// namesPattern reports whether resources name a pattern.
func namesPattern(file *pdfobj.Document, resources pdfobj.Object, pattern pdfobj.Ref) bool {
	for _, o := range file.Dict(file.Dict(resources)["Pattern"]) {
		if o == pdfobj.Object(pattern) {
			return true
		}
	}
	return false
}

// patterns proves that a station shows nothing beyond the large cells for the
// patterns that its artwork's page names.
func (c *stationCheck) patterns(at string, p painted, to matrix) {
	if p.clip.empty() {
		return
	}
	for _, w := range c.forms.wrapped[p.form] {
		back, ok := to.inverse()
		inner, invertible := w.matrix.inverse()
		if !ok || !invertible || !w.box.contains(p.clip.transformed(back.then(inner))) {
			c.differs(ObjectValue, at, "the cell of object %d, which stands for a pattern of the artwork's, doesn't cover all that the label shows", w.object)
		}
	}
}

func matrixOf(doc *pdfobj.Document, d pdfobj.Dict) matrix {
	if v, ok := doc.Numbers(d["Matrix"]); ok && len(v) >= 6 {
		return matrix(v[:6])
	}
	return identity
}

// inverse returns the matrix that undoes m, if there is one.
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
