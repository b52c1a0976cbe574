package press

import (
	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// leading tells which objects of an artwork page are wanted, hold something
// wanted directly or lead to one that does: what must be copied anew where the
// wanted is to be another.
func leading(p *artwork.Page, wanted func(pdfobj.Object) bool) (func(pdfobj.Ref) bool, error) {
	w := newWalk(p.Doc, wanted)
	if err := w.page(p, func(pdfobj.Ref, pdfobj.Object) {}); err != nil {
		return nil, err
	}
	leads := map[pdfobj.Ref]bool{}
	for found := w.found; len(found) > 0; {
		ref := found[len(found)-1]
		found = found[:len(found)-1]
		if !leads[ref] {
			leads[ref] = true
			found = append(found, w.users[ref]...)
		}
	}
	return func(r pdfobj.Ref) bool { return leads[r] }, nil
}

// page follows all that a page paints with, and shows each object as it stands on
// a frame.
func (w *walk) page(p *artwork.Page, each func(pdfobj.Ref, pdfobj.Object)) error {
	lends := newCompleter(p)
	for _, root := range []pdfobj.Object{p.Dict["Resources"], p.Dict["Group"]} {
		w.look(pdfobj.Ref{}, root)
	}
	for _, a := range p.Appearances {
		w.look(pdfobj.Ref{}, a.Form)
	}
	for len(w.todo) > 0 {
		ref := w.todo[len(w.todo)-1]
		w.todo = w.todo[:len(w.todo)-1]
		o, err := w.doc.Resolve(ref)
		if err != nil {
			return err
		}
		// What has no resources of its own leads to all that it is lent.
		if whole, ok := lends.replace(ref, o); ok {
			o = whole
		}
		each(ref, o)
		w.look(ref, o)
	}
	return nil
}

// walk follows all references once.
type walk struct {
	doc    *pdfobj.Document
	wanted func(pdfobj.Object) bool
	users  map[pdfobj.Ref][]pdfobj.Ref // who refers to an object
	seen   map[pdfobj.Ref]bool
	todo   []pdfobj.Ref
	found  []pdfobj.Ref
}

// newWalk begins a walk; wanted may be nil.
func newWalk(doc *pdfobj.Document, wanted func(pdfobj.Object) bool) *walk {
	if wanted == nil {
		wanted = func(pdfobj.Object) bool { return false }
	}
	return &walk{doc: doc, wanted: wanted, users: map[pdfobj.Ref][]pdfobj.Ref{}, seen: map[pdfobj.Ref]bool{}}
}

// look notes the references of the object user, and whether it is or holds what
// is wanted.
func (w *walk) look(user pdfobj.Ref, o pdfobj.Object) {
	if !user.IsZero() && w.wanted(o) {
		w.found = append(w.found, user)
	}
	switch v := o.(type) {
	case pdfobj.Ref:
		if !user.IsZero() {
			w.users[v] = append(w.users[v], user)
		}
		if !w.seen[v] {
			w.seen[v] = true
			w.todo = append(w.todo, v)
		}
	case *pdfobj.Stream:
		w.look(user, v.Dict)
	case pdfobj.Array:
		for _, e := range v {
			w.look(user, e)
		}
	case pdfobj.Dict:
		for _, key := range v.Keys() {
			if !w.leaves(key, v[key]) {
				w.look(user, v[key])
			}
		}
	}
}

// leaves reports whether an entry leads to a page. A resource may have the name
// of such a key, so the value counts too.
func (w *walk) leaves(key pdfobj.Name, value pdfobj.Object) bool {
	switch key {
	case "P", "Pg", "Page", "Parent", "D", "Dest":
		d := w.doc.Dict(value)
		return w.doc.Name(d["Type"]) == "Page" || d["Kids"] != nil
	}
	return false
}
