package verify

import (
	"slices"

	"quoin/impose/pdfobj"
)

// users gives, by an object that resources name, all the resources that do.
type users map[pdfobj.Ref][]pdfobj.Object

// users walks the resources of the page, of its annotations' pictures and of
// all that they name.
func (s *source) users() users {
	if s.named != nil {
		return s.named
	}
	s.named = users{}
	var todo []pdfobj.Object
	seen := map[pdfobj.Ref]bool{}
	push := func(resources, holder pdfobj.Object) {
		ref, ok := resources.(pdfobj.Ref)
		if !ok {
			ref, ok = holder.(pdfobj.Ref) // direct ones are seen once by who has them
		}
		if resources != nil && !(ok && seen[ref]) {
			seen[ref] = ok
			todo = append(todo, resources)
		}
	}
	push(orEmpty(s.page["Resources"]), nil)
	for _, a := range s.appearances() {
		push(s.doc.Dict(a.form)["Resources"], a.form)
	}
	for len(todo) > 0 {
		around := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, o := range s.usedBy(around) {
			if ref, ok := o.(pdfobj.Ref); ok && !slices.ContainsFunc(s.named[ref], func(known pdfobj.Object) bool { return sameObject(known, around) }) {
				s.named[ref] = append(s.named[ref], around)
			}
			push(s.doc.Dict(o)["Resources"], o)
		}
	}
	return s.named
}

// usedBy lists what resources name and what may have resources of its own.
func (s *source) usedBy(resources pdfobj.Object) (list []pdfobj.Object) {
	d := s.doc.Dict(resources)
	for _, category := range []pdfobj.Name{"XObject", "Font", "Pattern"} {
		named := s.doc.Dict(d[category])
		for _, key := range named.Keys() {
			list = append(list, named[key])
		}
	}
	states := s.doc.Dict(d["ExtGState"])
	for _, key := range states.Keys() {
		state := s.doc.Dict(states[key])
		if group := s.doc.Dict(state["SMask"])["G"]; group != nil {
			list = append(list, group)
		}
		if font := s.doc.Array(state["Font"]); len(font) > 0 {
			list = append(list, font[0])
		}
	}
	return list
}

// sameObject reports whether two are one object of the file; of direct ones only
// the references can be told apart.
func sameObject(a, b pdfobj.Object) bool {
	x, isX := a.(pdfobj.Ref)
	y, isY := b.(pdfobj.Ref)
	return isX && isY && x == y
}

// lender returns the resources that something without any must have been given:
// of several that name it, those that it was given, and otherwise the first.
func (c *comparison) lender(p pair, given pdfobj.Object) pdfobj.Object {
	from := c.users[p.of]
	switch len(from) {
	case 0:
		return c.page
	case 1:
		return withoutSelf(p, from[0])
	}
	for _, one := range from {
		one = withoutSelf(p, one)
		quiet := *c
		quiet.result, quiet.limit, quiet.found, quiet.queue = &Result{}, 1, 0, nil
		quiet.trial = true // or each lender would be tried for each lender
		quiet.seen = map[[2]pdfobj.Ref]bool{}
		quiet.same("", one, given)
		if quiet.found == 0 {
			return one
		}
	}
	return withoutSelf(p, from[0])
}

// withoutSelf returns resources less the entries that are the borrower itself,
// which would lead in a circle.
func withoutSelf(p pair, resources pdfobj.Object) pdfobj.Object {
	lent := pdfobj.Dict{}
	for category, o := range p.doc.Dict(resources) {
		named, ok := o, false
		if d := p.doc.Dict(o); d != nil && p.doc.Stream(o) == nil {
			rest := pdfobj.Dict{}
			for key, v := range d {
				if v == pdfobj.Object(p.of) {
					ok = true
					continue
				}
				rest[key] = v
			}
			if ok {
				named = rest
			}
		}
		lent[category] = named
	}
	return lent
}

// unlayered reports whether an object is a membership of layers in a document
// that has no OCProperties: nothing of them is obeyed there.
func (c *comparison) unlayered(doc *pdfobj.Document, o pdfobj.Object) bool {
	d, ok := o.(pdfobj.Dict)
	return ok && d["OCGs"] != nil && doc.Name(d["Type"]) == "OCMD" && doc.Dict(doc.Catalog()["OCProperties"]) == nil
}
