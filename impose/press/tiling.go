package press

import (
	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// A tiling pattern starts from the space of the form that it is used in
// (ISO 32000-1 8.7.2), which is another one at each station. Readers keep the
// cells of a pattern that they have drawn, and two of three renderers tried,
// MuPDF and Ghostscript, take them for the same object at every other place
// too, so that cells run on from the first station over all others. So an
// artwork with tiling patterns gets at every station a form of its own, in
// which all is shared but the patterns and what leads to them.

// mostOwnContent is how much content, as stored, a page may have to be written
// again for each station. A label's content with patterns is some tens of
// kilobytes; a megabyte at a hundred stations would make a file that no RIP
// thanks for.
const mostOwnContent = 1 << 20

// OwnTiling tells whether the page gets a form of its own at each station, for
// the sake of its tiling patterns. A page with patterns and too much content
// for that shares one form, and its patterns may run on in some RIPs.
func OwnTiling(p *artwork.Page) bool {
	size := int64(0)
	for _, s := range contents(p) {
		size += s.RawLength()
	}
	return p.Tiling && size <= mostOwnContent
}

// toTiling tells which objects of an artwork page are tiling patterns or lead
// to one.
func toTiling(p *artwork.Page) (func(pdfobj.Ref) bool, error) {
	w := &tilingWalk{doc: p.Doc, users: map[pdfobj.Ref][]pdfobj.Ref{}, seen: map[pdfobj.Ref]bool{}}
	for _, root := range []pdfobj.Object{p.Dict["Resources"], p.Dict["Group"]} {
		w.look(pdfobj.Ref{}, root)
	}
	for _, a := range p.Appearances {
		w.look(pdfobj.Ref{}, a.Form)
	}
	var tiling []pdfobj.Ref
	for len(w.todo) > 0 {
		ref := w.todo[len(w.todo)-1]
		w.todo = w.todo[:len(w.todo)-1]
		o, err := w.doc.Get(ref)
		if err != nil {
			return nil, err
		}
		if s, ok := o.(*pdfobj.Stream); ok {
			if kind, _ := w.doc.Int(s.Dict["PatternType"]); kind == 1 {
				tiling = append(tiling, ref)
			}
			o = s.Dict
		}
		w.look(ref, o)
	}
	leads := map[pdfobj.Ref]bool{}
	for len(tiling) > 0 {
		ref := tiling[len(tiling)-1]
		tiling = tiling[:len(tiling)-1]
		if !leads[ref] {
			leads[ref] = true
			tiling = append(tiling, w.users[ref]...)
		}
	}
	return func(r pdfobj.Ref) bool { return leads[r] }, nil
}

// tilingWalk follows all references once.
type tilingWalk struct {
	doc   *pdfobj.Document
	users map[pdfobj.Ref][]pdfobj.Ref // who refers to an object
	seen  map[pdfobj.Ref]bool
	todo  []pdfobj.Ref
}

// look notes the references of the object user.
func (w *tilingWalk) look(user pdfobj.Ref, o pdfobj.Object) {
	switch v := o.(type) {
	case pdfobj.Ref:
		if !user.IsZero() {
			w.users[v] = append(w.users[v], user)
		}
		if !w.seen[v] {
			w.seen[v] = true
			w.todo = append(w.todo, v)
		}
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

// leaves tells whether an entry leads to a page. A resource may have the name
// of such a key, so the value counts too.
func (w *tilingWalk) leaves(key pdfobj.Name, value pdfobj.Object) bool {
	switch key {
	case "P", "Pg", "Page", "Parent", "D", "Dest":
		d := w.doc.Dict(value)
		return w.doc.Name(d["Type"]) == "Page" || d["Kids"] != nil
	}
	return false
}
