package conform

import (
	"fmt"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/artwork/function"
	"quoin/impose/pdfobj"
)

// The marker is given by an allow-list: every object that a page's resources
// lead to is looked at as what it is used for, and whatever isn't known to be
// good there withholds the marker. What is merely not painted counts too,
// because it is in the file all the same.

// use is what an object serves as.
type use int

const (
	asResources use = iota
	asState
	asSpace
	asPattern
	asShading
	asXObject
	asFont
	asMask
)

// visit is an object still to be looked at. pages' resources give names to the
// colour spaces in them.
type visit struct {
	use    use
	object pdfobj.Object
}

// walker looks at all objects of a page. It keeps a list instead of recursing,
// so that no file can exhaust the stack.
type walker struct {
	doc       *pdfobj.Document
	page      int
	todo      []visit
	seen      map[visit]bool // of objects with a number
	functions *function.Reader
	profiles  int64 // bytes of profiles that may still be read
	list      []Breach
}

const (
	// maxVisits bounds the objects of one page, maxFunctionBytes the tables of
	// their functions and maxProfileBytes their profiles: what lies beyond is
	// not known to be good.
	maxVisits        = 1_000_000
	maxFunctionBytes = 256 << 20
	maxProfileBytes  = 256 << 20
)

// objects checks all that the content of a page leads to.
func objects(p *artwork.Page) []Breach {
	w := &walker{
		doc: p.Doc, page: p.Number, seen: map[visit]bool{},
		functions: function.NewReader(p.Doc, maxFunctionBytes), profiles: maxProfileBytes,
	}
	w.group(p.Group, "the page")
	w.enlist(asResources, p.Dict["Resources"])
	for _, a := range p.Appearances {
		w.enlist(asXObject, a.Form)
	}
	for n := 0; len(w.todo) > 0; n++ {
		if n == maxVisits || len(w.list) > maxBreaches {
			w.breach(Readable, nil, "the page has more objects than are looked at")
			break
		}
		next := w.todo[len(w.todo)-1]
		w.todo = w.todo[:len(w.todo)-1]
		w.look(next)
	}
	return w.list
}

// enlist puts an object on the list, once for each use.
func (w *walker) enlist(as use, o pdfobj.Object) {
	if o == nil {
		return
	}
	v := visit{as, o}
	if _, isRef := o.(pdfobj.Ref); isRef {
		if w.seen[v] {
			return
		}
		w.seen[v] = true
	}
	w.todo = append(w.todo, v)
}

// breach notes what is wrong with an object, once.
func (w *walker) breach(rule string, o pdfobj.Object, format string, args ...any) {
	b := Breach{Rule: rule, Text: fmt.Sprintf(format, args...), Page: w.page}
	switch v := o.(type) {
	case pdfobj.Ref:
		b.Object = fmt.Sprintf("object %d", v.Num)
	case *pdfobj.Stream:
		if !v.Ref.IsZero() {
			b.Object = fmt.Sprintf("object %d", v.Ref.Num)
		}
	}
	if !slices.Contains(w.list, b) {
		w.list = append(w.list, b)
	}
}

func (w *walker) look(v visit) {
	switch v.use {
	case asResources:
		w.resources(v.object)
	case asState:
		w.state(v.object)
	case asSpace:
		w.space(v.object, 0)
	case asPattern:
		w.pattern(v.object)
	case asShading:
		w.shading(v.object)
	case asXObject:
		w.xobject(v.object)
	case asFont:
		w.font(v.object)
	case asMask:
		w.mask(v.object)
	}
}

// resources are what content names (ISO 32000-1 7.8.3).
func (w *walker) resources(o pdfobj.Object) {
	d := w.doc.Dict(o)
	for _, kind := range []struct {
		key pdfobj.Name
		as  use
	}{
		{"ExtGState", asState}, {"ColorSpace", asSpace}, {"Pattern", asPattern},
		{"Shading", asShading}, {"XObject", asXObject}, {"Font", asFont},
	} {
		list := w.doc.Dict(d[kind.key])
		for _, name := range list.Keys() {
			w.enlist(kind.as, list[name])
		}
	}
}

// font looks into a Type 3 font, whose glyphs are content. That fonts are
// embedded is checked where text is painted.
func (w *walker) font(o pdfobj.Object) {
	d := w.doc.Dict(o)
	if w.doc.Name(d["Subtype"]) == "Type3" {
		w.enlist(asResources, d["Resources"])
	}
}

// group checks a transparency group (ISO 32000-1 11.6.6). That its space is
// defined is checked where the group is painted.
func (w *walker) group(d pdfobj.Dict, what string) {
	if d == nil {
		return
	}
	if s := w.doc.Name(d["S"]); s != "Transparency" {
		w.breach(Features, nil, "%s has a group of the kind %q", what, s)
	}
	w.enlist(asSpace, d["CS"])
}

// isFunction reads a function and checks its numbers of inputs and outputs; -1
// asks for no certain number.
func (w *walker) isFunction(o pdfobj.Object, inputs, outputs int, of string, at pdfobj.Object) {
	f, err := w.functions.Parse(o)
	switch {
	case err != nil || f == nil:
		w.breach(Readable, at, "the function of %s can't be read", of)
	case inputs >= 0 && f.Inputs() != inputs:
		w.breach(Spots, at, "the function of %s takes %d numbers, not %d", of, f.Inputs(), inputs)
	case outputs >= 0 && f.Outputs() != outputs:
		w.breach(Spots, at, "the function of %s gives %d numbers, not %d", of, f.Outputs(), outputs)
	}
}
