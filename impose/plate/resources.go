package plate

import (
	"slices"
	"strconv"

	"quoin/impose/pdfobj"
)

// resource names an object in the shared resources, one name for one key.
func (b *builder) resource(category pdfobj.Name, prefix, key string, o pdfobj.Object) pdfobj.Name {
	if key != "" {
		if n := b.names[string(category)+key]; n != "" {
			return n
		}
	}
	list, _ := b.shared[category].(pdfobj.Dict)
	if list == nil {
		list = pdfobj.Dict{}
		b.shared[category] = list
	}
	name := pdfobj.Name(prefix + strconv.Itoa(len(list)))
	list[name] = o
	if key != "" {
		b.names[string(category)+key] = name
	}
	return name
}

// scope returns the resources of content, one for each object.
func (b *builder) scope(o pdfobj.Object, caller *resources) *resources {
	ref, isRef := o.(pdfobj.Ref)
	if isRef && b.scopes[ref] != nil {
		return b.scopes[ref]
	}
	d := b.doc.Dict(o)
	if d == nil {
		return &resources{parent: caller}
	}
	r := &resources{dict: d}
	if isRef {
		b.scopes[ref] = r
	}
	return r
}

// resources is what names in content are looked up in; a form without its own
// looks in its caller's.
type resources struct {
	dict   pdfobj.Dict
	parent *resources
}

func (r *resources) find(doc *pdfobj.Document, category, name pdfobj.Name) pdfobj.Object {
	for at := r; at != nil; at = at.parent {
		if o := doc.Dict(at.dict[category])[name]; o != nil {
			return o
		}
	}
	return nil
}

// approximations gathers what doesn't come right, each thing once.
type approximations struct{ list []Approximation }

func (a *approximations) note(what, why string) {
	one := Approximation{what, why}
	if !slices.Contains(a.list, one) {
		a.list = append(a.list, one)
	}
}
