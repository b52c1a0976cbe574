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
// that is another page. An annotation's appearance is a form because of where
// it stands, whether it says so or not; painted by Do, it must say so.
//
// In a document without OCProperties, nothing of its layers is obeyed. On a
// frame that has some it would be, so memberships become such as have no effect
// (table 99: no OCGs).
type completer struct {
	doc         *pdfobj.Document
	lent        pdfobj.Placed // the page's resources in the file that is written
	users       map[pdfobj.Ref]bool
	appearances map[pdfobj.Ref]bool
	unlayered   bool // the document has no OCProperties
	next        func(pdfobj.Ref, pdfobj.Object) (pdfobj.Object, bool)
}

// newCompleter lends resources to what the page's name by themselves. What
// stands deeper has the resources of what it stands in to look at.
func newCompleter(p *artwork.Page, lent pdfobj.Ref) *completer {
	doc := p.Doc
	c := &completer{doc: doc, lent: pdfobj.Placed(lent), users: map[pdfobj.Ref]bool{}, appearances: map[pdfobj.Ref]bool{}}
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
		c.appearances[a.Form] = true
	}
	return c
}

// replace is asked by the copier about every object on its way.
func (c *completer) replace(ref pdfobj.Ref, o pdfobj.Object) (pdfobj.Object, bool) {
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
		if c.users[ref] && v["Resources"] == nil && c.doc.Name(v["Subtype"]) == "Type3" {
			return with(v, "Resources", c.lent), true
		}
	case *pdfobj.Stream:
		if c.appearances[ref] && c.doc.Name(v.Dict["Subtype"]) != "Form" {
			said := *v
			said.Dict = with(v.Dict, "Subtype", pdfobj.Name("Form"))
			v, o, changed = &said, &said, true
		}
		tiling, _ := c.doc.Int(v.Dict["PatternType"])
		if c.users[ref] && v.Dict["Resources"] == nil && (c.doc.Name(v.Dict["Subtype"]) == "Form" || tiling == 1) {
			lent := *v
			lent.Dict = with(v.Dict, "Resources", c.lent)
			return &lent, true
		}
	}
	return o, changed
}

// with gives a copy of a dictionary with another entry.
func with(d pdfobj.Dict, key pdfobj.Name, value pdfobj.Object) pdfobj.Dict {
	d = d.Clone()
	d[key] = value
	return d
}
