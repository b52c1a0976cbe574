package verify

import (
	"fmt"
	"math"

	"quoin/impose/pdfobj"
)

// appearance is an annotation that prints, as ISO 32000-1 12.5.5 places it.
type appearance struct {
	form   pdfobj.Object
	matrix matrix
	oc     pdfobj.Object
}

// appearances lists the annotations that print and reach into the bleed, in
// painting order (12.5.3: Print set, Hidden not).
func (s *source) appearances() (list []appearance) {
	for _, o := range s.doc.Array(s.page["Annots"]) {
		d := s.doc.Dict(o)
		flags, _ := s.doc.Int(d["F"])
		if d == nil || flags>>2&1 == 0 || flags>>1&1 == 1 || s.doc.Name(d["Subtype"]) == "Popup" || s.hidden(d["OC"]) {
			continue
		}
		rect, ok := s.doc.Numbers(d["Rect"])
		if !ok || len(rect) < 4 {
			continue
		}
		r := nowhere.including(point{rect[0], rect[1]}).including(point{rect[2], rect[3]})
		reach := r
		if flags>>4&1 == 1 {
			reach = r.transformed(s.turnedBack(r))
		}
		if i := reach.intersect(s.bleed); i.empty() {
			continue
		}
		normal := s.doc.Dict(d["AP"])["N"]
		if s.doc.Stream(normal) == nil {
			normal = s.doc.Dict(normal)[s.doc.Name(d["AS"])]
		}
		form := s.doc.Stream(normal)
		if form == nil {
			continue
		}
		bounds, ok := s.doc.Numbers(form.Dict["BBox"])
		if !ok || len(bounds) < 4 {
			continue
		}
		own := identity
		if v, ok := s.doc.Numbers(form.Dict["Matrix"]); ok && len(v) >= 6 {
			own = matrix(v[:6])
		}
		shown := box(bounds[:4]).transformed(own)
		m := identity
		if w := shown[2] - shown[0]; w > 0 {
			m[0] = (r[2] - r[0]) / w
		}
		if h := shown[3] - shown[1]; h > 0 {
			m[3] = (r[3] - r[1]) / h
		}
		m[4], m[5] = r[0]-shown[0]*m[0], r[1]-shown[1]*m[3]
		if flags>>4&1 == 1 {
			m = m.then(s.turnedBack(r))
		}
		list = append(list, appearance{normal, m, d["OC"]})
	}
	return list
}

// turnedBack undoes the page's rotation about the upper left corner of a
// rectangle, which stays where it is: what NoRotate asks for (Table 165).
func (s *source) turnedBack(r box) matrix {
	sin, cos := math.Sincos(s.rotate * math.Pi / 180)
	sin, cos = math.Round(sin), math.Round(cos)
	return matrix{cos, sin, -sin, cos, r[0] - cos*r[0] + sin*r[3], r[3] - sin*r[0] - cos*r[3]}
}

// hidden reports whether a plain layer is off.
func (s *source) hidden(o pdfobj.Object) bool {
	ref, ok := o.(pdfobj.Ref)
	return ok && isLayer(s.doc, ref) && !layerOn(s.doc, ref)
}

// outerPage returns the page inside of a form that also paints annotations.
func (c *forms) outerPage(form *pdfobj.Stream) *pdfobj.Stream {
	return c.doc.Stream(c.doc.Dict(c.doc.Dict(form.Dict["Resources"])["XObject"])["Page"])
}

// outer proves a form that paints a page and then its annotations, and gives
// the page.
func (c *forms) outer(m *comparison, form *pdfobj.Stream, at *step, want []appearance) *pdfobj.Stream {
	resources := c.doc.Dict(form.Dict["Resources"])
	xobjects, layers := c.doc.Dict(resources["XObject"]), c.doc.Dict(resources["Properties"])
	var ops []pdfobj.Operation
	s := pdfobj.NewContentScanner(c.doc.Content(form))
	for s.Next() {
		ops = append(ops, s.Operation())
	}
	take := func(op string) []pdfobj.Object {
		if len(ops) == 0 || ops[0].Operator != op {
			return nil
		}
		args := ops[0].Operands
		ops = ops[1:]
		if args == nil {
			args = []pdfobj.Object{}
		}
		return args
	}
	inner := c.doc.Stream(xobjects[pdfobj.NameAt(take("Do"), 0)])
	if inner == nil {
		m.differs(at, Annotations, "%d annotations that print are not placed", len(want))
		return form
	}
	for i, a := range want {
		name := fmt.Sprintf("annotation %d of %d", i+1, len(want))
		if tag := take("BDC"); tag != nil || a.oc != nil {
			m.same(name+"/OC", a.oc, layers[pdfobj.NameAt(tag, 1)])
		}
		opened, placed := take("q"), take("cm")
		drawn := take("Do")
		if opened == nil || len(placed) != 6 || drawn == nil || take("Q") == nil {
			m.differs(at, Annotations, "%s is not placed", name)
			return inner
		}
		for k, v := range numbers(placed, 6) {
			if math.Abs(v-a.matrix[k]) > micrometre/100 {
				m.differs(at, Annotations, "%s has the matrix %v, not %v", name, numbers(placed, 6), a.matrix)
				break
			}
		}
		m.same(name, a.form, xobjects[pdfobj.NameAt(drawn, 0)])
		if a.oc != nil {
			take("EMC")
		}
	}
	if len(ops) > 0 {
		m.differs(at, Annotations, "%q is painted behind the annotations", ops[0].Operator)
	}
	return inner
}
