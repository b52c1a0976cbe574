package verify

import (
	"slices"

	"quoin/impose/pdfobj"
)

// none is the colorant that prints nowhere (ISO 32000-1 8.6.6.4).
const none = "None"

// inks compares colour spaces that name inks, under the plan's renames; false
// if the array is none.
func (c *comparison) inks(p pair, src, out pdfobj.Array, depth int) bool {
	switch p.doc.Name(src[0]) {
	case "Separation":
		c.separation(p, src, out, depth)
	case "DeviceN":
		c.deviceN(p, src, out, depth)
	default:
		return false
	}
	return true
}

// inFile returns the name that an ink of the artwork must have in the file.
func (c *comparison) inFile(name pdfobj.Name) pdfobj.Name {
	if to, ok := c.renames[name]; ok {
		return to
	}
	return name
}

func (c *comparison) separation(p pair, src, out pdfobj.Array, depth int) {
	if c.out.Name(out[0]) != "Separation" {
		c.differs(p.path, ObjectValue, "%s, where the artwork has a Separation", shown(out[0]))
		return
	}
	want := c.inFile(p.doc.Name(src[1]))
	c.inkName(p, p.doc.Name(src[1]), want, c.out.Name(out[1]))
	if shared, ok := c.shared[want]; ok {
		// Every artwork shows this ink as one of them does.
		if !slices.ContainsFunc(shared.spaces, func(space pdfobj.Array) bool {
			return c.alike(shared.doc, space[2], out[2]) && c.alike(shared.doc, space[3], out[3])
		}) {
			c.differs(p.path, InkSpace, "%q doesn't have the colour space of %s, as planned", want, shared.name)
		}
		return
	}
	for i := 2; i < len(src); i++ {
		c.next(pair{src: src[i], out: out[i], doc: p.doc, path: &step{p.path, []string{"alternate", "tint transform"}[min(i-2, 1)], 0}}, depth)
	}
}

// alike reports whether an object of another artwork and one of the file are the
// same, quietly.
func (c *comparison) alike(doc *pdfobj.Document, src, out pdfobj.Object) bool {
	quiet := &comparison{
		result: &Result{}, src: doc, out: c.out, renames: c.renames, limit: 1,
		seen: map[[2]pdfobj.Ref]bool{}, groups: map[pdfobj.Ref]pdfobj.Ref{},
	}
	quiet.same("", src, out)
	return quiet.found == 0
}

func (c *comparison) inkName(p pair, name, want, got pdfobj.Name) {
	switch {
	case got == want:
	case want == none:
		c.differs(p.path, InkName, "the ink %q is to print nowhere, and is %q in the file", name, got)
	case want != name:
		c.differs(p.path, InkName, "the ink %q is to be %q, and is %q in the file", name, want, got)
	default:
		c.differs(p.path, InkName, "the ink %q is %q in the file", name, got)
	}
}

func (c *comparison) deviceN(p pair, src, out pdfobj.Array, depth int) {
	names, got := p.doc.Array(src[1]), c.out.Array(out[1])
	if c.out.Name(out[0]) != "DeviceN" || len(names) != len(got) {
		c.differs(p.path, ObjectValue, "not the artwork's DeviceN of %d inks", len(names))
		return
	}
	for i := range names {
		name := p.doc.Name(names[i])
		c.inkName(p, name, c.inFile(name), c.out.Name(got[i]))
	}
	for i := 2; i < min(4, len(src)); i++ {
		c.next(pair{src: src[i], out: out[i], doc: p.doc, path: &step{p.path, []string{"alternate", "tint transform"}[i-2], 0}}, depth)
	}
	if len(src) < 5 {
		return
	}
	a, b := p.doc.Dict(src[4]), c.out.Dict(out[4])
	if a == nil || b == nil {
		c.next(pair{src: src[4], out: out[4], doc: p.doc, path: &step{p.path, "attributes", 0}}, depth)
		return
	}
	at := pair{src: a, out: b, doc: p.doc, path: &step{p.path, "attributes", 0}}
	a, b = a.Clone(), b.Clone()
	c.colorants(at, p.doc.Dict(a["Colorants"]), c.out.Dict(b["Colorants"]), depth)
	delete(a, "Colorants")
	delete(b, "Colorants")
	c.dicts(at, a, b, depth)
}

// colorants compares the Separations of a DeviceN's inks, which go by the same
// names as its components.
func (c *comparison) colorants(p pair, src, out pdfobj.Dict, depth int) {
	expected := pdfobj.Dict{}
	for _, k := range src.Keys() {
		if to := c.inFile(k); to != none || k == none {
			expected[to] = src[k]
		}
	}
	if len(expected) > 0 || len(out) > 0 {
		c.dicts(pair{src: expected, out: out, doc: p.doc, path: &step{p.path, "Colorants", 0}}, expected, out, depth)
	}
}
