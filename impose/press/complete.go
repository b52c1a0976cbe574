package press

import (
	"quoin/impose/pdfobj"
)

// lender gives what uses the page's resources for want of its own those of the
// page it came from: a Type 3 font (ISO 32000-1 9.6.5) and a form or pattern
// (7.8.3) find theirs on the page that they are used on, and on the frame that
// is another page.
type lender struct {
	doc  *pdfobj.Document
	lent pdfobj.Placed // the page's resources in the file that is written
	to   map[pdfobj.Ref]bool
	next func(pdfobj.Ref, pdfobj.Object) (pdfobj.Object, bool)
}

// newLender lends to what a resource dictionary names by itself. What stands
// deeper has the resources of what it stands in to look at.
func newLender(doc *pdfobj.Document, resources pdfobj.Object, lent pdfobj.Ref) *lender {
	l := &lender{doc: doc, lent: pdfobj.Placed(lent), to: map[pdfobj.Ref]bool{}}
	named := doc.Dict(resources)
	for _, category := range []pdfobj.Name{"Font", "XObject", "Pattern"} {
		for _, o := range doc.Dict(named[category]) {
			if ref, ok := o.(pdfobj.Ref); ok {
				l.to[ref] = true
			}
		}
	}
	return l
}

// replace is asked by the copier about every object on its way.
func (l *lender) replace(ref pdfobj.Ref, o pdfobj.Object) (pdfobj.Object, bool) {
	changed := false
	if l.next != nil {
		if other, ok := l.next(ref, o); ok {
			o, changed = other, true
		}
	}
	if !l.to[ref] {
		return o, changed
	}
	switch v := o.(type) {
	case pdfobj.Dict:
		if v["Resources"] == nil && l.doc.Name(v["Subtype"]) == "Type3" {
			return l.lend(v), true
		}
	case *pdfobj.Stream:
		tiling, _ := l.doc.Int(v.Dict["PatternType"])
		if v.Dict["Resources"] == nil && (l.doc.Name(v.Dict["Subtype"]) == "Form" || tiling == 1) {
			with := *v
			with.Dict = l.lend(v.Dict)
			return &with, true
		}
	}
	return o, changed
}

func (l *lender) lend(d pdfobj.Dict) pdfobj.Dict {
	d = d.Clone()
	d["Resources"] = l.lent
	return d
}
