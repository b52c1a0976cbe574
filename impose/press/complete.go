package press

import (
	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// completer gives what is copied from an artwork what it finds on its page and
// wouldn't find on the frame.
//
// A Type 3 font without resources (ISO 32000-1 9.6.5) and a form or pattern
// without (7.8.3) use those of the page that they are used on, and on the frame
// that is another page. Readers look first in those of the stream that uses it,
// which is what is lent where such a form stands deeper. An annotation's appearance is a form because of where
// it stands, whether it says so or not; painted by Do, it must say so.
//
// In a document without OCProperties, nothing of its layers is obeyed. On a
// frame that has some it would be, so memberships become such as have no effect
// (table 99: no OCGs).
type completer struct {
	doc         *pdfobj.Document
	page        pdfobj.Object // the page's resources
	users       map[pdfobj.Ref]bool
	used        map[pdfobj.Ref]pdfobj.Object // the page's Lent
	appearances map[pdfobj.Ref]bool
	unlayered   bool                          // the document has no OCProperties
	wrapped     map[pdfobj.Ref]*pdfobj.Stream // what stands in place of tiling patterns; see grid.wrap
	next        func(pdfobj.Ref, pdfobj.Object) (pdfobj.Object, bool)
}

// newCompleter lends resources to what has none: those of the page to what the
// page names by itself, and to what stands deeper those of what it stands in.
func newCompleter(p *artwork.Page) *completer {
	doc := p.Doc
	c := &completer{doc: doc, page: orEmpty(p.Dict["Resources"]), users: map[pdfobj.Ref]bool{}, appearances: map[pdfobj.Ref]bool{}}
	c.unlayered = doc.Dict(doc.Catalog()["OCProperties"]) == nil
	named := doc.Dict(p.Dict["Resources"])
	for _, category := range []pdfobj.Name{"Font", "XObject", "Pattern"} {
		for _, o := range doc.Dict(named[category]) {
			if ref, ok := o.(pdfobj.Ref); ok {
				c.users[ref] = true
			}
		}
	}
	for _, a := range p.Appearances {
		c.appearances[a.Form], c.users[a.Form] = true, true
	}
	c.used = p.Lent
	return c
}

// replace is asked by the copier about every object on its way.
func (c *completer) replace(ref pdfobj.Ref, o pdfobj.Object) (pdfobj.Object, bool) {
	if w := c.wrapped[ref]; w != nil {
		return w, true
	}
	changed := false
	if c.next != nil {
		if other, ok := c.next(ref, o); ok {
			o, changed = other, true
		}
	}
	switch v := o.(type) {
	case pdfobj.Dict:
		if c.unlayered && v["OCGs"] != nil && c.doc.Name(v["Type"]) == "OCMD" {
			return pdfobj.Dict{"Type": pdfobj.Name("OCMD")}, true
		}
		if lent := c.lends(ref); lent != nil && v["Resources"] == nil && c.doc.Name(v["Subtype"]) == "Type3" {
			return with(v, "Resources", lent), true
		}
	case *pdfobj.Stream:
		if c.appearances[ref] && c.doc.Name(v.Dict["Subtype"]) != "Form" {
			said := *v
			said.Dict = with(v.Dict, "Subtype", pdfobj.Name("Form"))
			v, o, changed = &said, &said, true
		}
		tiling, _ := c.doc.Int(v.Dict["PatternType"])
		if from := c.lends(ref); from != nil && v.Dict["Resources"] == nil && (c.doc.Name(v.Dict["Subtype"]) == "Form" || tiling == 1) {
			lent := *v
			lent.Dict = with(v.Dict, "Resources", from)
			return &lent, true
		}
	}
	return o, changed
}

// lends returns the resources for what has none; nil where nobody lends any.
func (c *completer) lends(ref pdfobj.Ref) pdfobj.Object {
	from, used := c.used[ref]
	switch {
	case from == nil && (used || c.users[ref]):
		from = c.page
	case from == nil:
		return nil
	}
	return c.without(from, ref)
}

// without returns resources less what names the borrower itself: it can't paint
// itself, and some readers warn of objects that lead in a circle.
func (c *completer) without(resources pdfobj.Object, borrower pdfobj.Ref) pdfobj.Object {
	lent := c.doc.Dict(resources).Clone()
	circular := false
	for _, category := range []pdfobj.Name{"XObject", "Pattern", "Font"} {
		named := c.doc.Dict(lent[category])
		for _, key := range named.Keys() {
			if named[key] == pdfobj.Object(borrower) {
				rest := named.Clone()
				delete(rest, key)
				named, lent[category], circular = rest, rest, true
			}
		}
	}
	if !circular {
		return resources
	}
	return lent
}

// orEmpty returns an empty dictionary for nothing.
func orEmpty(o pdfobj.Object) pdfobj.Object {
	if o == nil {
		return pdfobj.Dict{}
	}
	return o
}

// with returns a copy of a dictionary with another entry.
func with(d pdfobj.Dict, key pdfobj.Name, value pdfobj.Object) pdfobj.Dict {
	d = d.Clone()
	d[key] = value
	return d
}
