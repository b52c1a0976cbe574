package verify

import (
	"io"
	"maps"

	"quoin/impose/pdfobj"
)

// forms tells which forms of the file are which artworks.
type forms struct {
	*Result
	doc      *pdfobj.Document
	artworks []*source
	renames  map[pdfobj.Name]pdfobj.Name
	shared   map[pdfobj.Name]sharedSpace
	proved   []map[[2]pdfobj.Ref]bool                       // by artwork: objects of it and of the file that are the same
	known    map[formKey]bool                               // compared; true when the same
	wrapped  map[pdfobj.Ref][]wrapped                       // by form: large patterns in place of its page's
	groups   map[*pdfobj.Document]map[pdfobj.Ref]pdfobj.Ref // layers of the file by those of each artwork
}

// formKey is a form of the file that should show an artwork.
type formKey struct {
	form    pdfobj.Ref
	artwork int
}

// shows reports whether a form is the artwork, quietly, and remembers it.
func (c *forms) shows(form pdfobj.Ref, artwork int) bool {
	key := formKey{form, artwork}
	same, known := c.known[key]
	if !known {
		same = c.equals(form, artwork)
		c.known[key] = same
	}
	return same
}

// equals compares a form with an artwork quietly. The streams of one that is
// the same are counted, and what is proved once is not looked at again: many
// forms may share most of what they have.
func (c *forms) equals(form pdfobj.Ref, artwork int) bool {
	quiet := *c
	quiet.Result = &Result{}
	m := quiet.compare(form, artwork, 1)
	if m.found > 0 {
		return false
	}
	maps.Copy(c.proved[artwork], m.seen)
	c.Streams += quiet.Streams
	c.Bytes += quiet.Bytes
	return true
}

// tell says how a form differs from its artwork, once.
func (c *forms) tell(form pdfobj.Ref, artwork int) { c.compare(form, artwork, 0) }

// compare compares a form with the artwork page that it must be, up to a
// number of differences, or all of them for 0.
func (c *forms) compare(ref pdfobj.Ref, artwork, limit int) *comparison {
	a := c.artworks[artwork]
	m := c.comparison(a)
	m.limit, m.known = limit, c.proved[artwork]
	form := c.doc.Stream(ref)
	inner, at := form, &step{key: "the page", object: ref.Num}
	appearances := a.appearances()
	if len(appearances) > 0 {
		inner = c.outer(m, form, at, appearances)
		if inner == form {
			return m
		}
	} else if extra := c.outerPage(form); extra != nil && a.page["Annots"] != nil {
		// Annotations that don't print, or lie beside the label, may be there.
		m.differs(at, Annotations, "annotations are placed that don't print")
		return m
	}
	c.keys(m, at, form, inner)
	for _, f := range []*pdfobj.Stream{form, inner} {
		if got, ok := boxOf(c.doc, f.Dict["BBox"]); !ok || !got.near(a.media) {
			m.differs(at, FormBox, "its box is %v, not the artwork's media box %v", [4]float64(got), [4]float64(a.media))
		}
	}
	if inner != form && formMatrix(c.doc, inner) != identity {
		m.differs(at, FormBox, "the page inside has a matrix of its own")
	}
	m.dicts(pair{doc: a.doc, path: &step{key: "Resources"}}, a.doc.Dict(a.page["Resources"]), c.doc.Dict(inner.Dict["Resources"]), 0)
	m.drain()
	m.covers()
	c.wrapped[ref] = nil
	for _, w := range m.wrappedList {
		if namesPattern(m.out, inner.Dict["Resources"], w.out) {
			c.wrapped[ref] = append(c.wrapped[ref], w)
		}
	}
	c.group(m, at, a, form)
	c.content(m, at, a, inner)
	return m
}

// orEmpty returns an empty dictionary for nothing.
func orEmpty(o pdfobj.Object) pdfobj.Object {
	if o == nil {
		return pdfobj.Dict{}
	}
	return o
}

// keys proves that a form has no entry that would change how it shows.
func (c *forms) keys(m *comparison, at *step, forms ...*pdfobj.Stream) {
	for _, f := range forms {
		for _, key := range f.Dict.Keys() {
			switch key {
			case "Type", "Subtype", "BBox", "Matrix", "Resources", "Group", "Filter", "DecodeParms", "Length":
			default:
				m.differs(at, ObjectAdded, "the form has %s, which pages don't", key)
			}
		}
	}
	if len(forms) == 2 && forms[0] != forms[1] && forms[1].Dict["Group"] != nil {
		m.differs(at, GroupDiffers, "the page inside has a group of its own")
	}
}

// group proves the page's transparency group.
func (c *forms) group(m *comparison, at *step, a *source, form *pdfobj.Stream) {
	want, got := a.doc.Dict(a.page["Group"]), c.doc.Dict(form.Dict["Group"])
	if a.doc.Name(want["S"]) != "Transparency" { // the one kind that there is (8.10.3)
		want = nil
	}
	switch {
	case len(want) == 0 && len(got) == 0:
	case got == nil:
		m.differs(at, GroupDiffers, "the artwork's transparency group is missing")
	default:
		before := m.found
		if isolated, _ := c.doc.Bool(got["I"]); isolated && want["CS"] != nil {
			// As a page it is isolated whatever it says (11.4.7).
			want = maps.Clone(want)
			want["I"] = true
		}
		m.same("Group", want, form.Dict["Group"])
		if m.found > before {
			m.differs(at, GroupDiffers, "the transparency group is not the artwork's")
		}
	}
}

// content proves the page's content: a single stream byte for byte as stored,
// several as they read one behind another.
func (c *forms) content(m *comparison, at *step, a *source, form *pdfobj.Stream) {
	at = &step{before: at, key: "content"}
	before := m.found
	streams := a.contents()
	if len(streams) == 1 {
		for _, key := range []pdfobj.Name{"Filter", "DecodeParms"} {
			m.same("content/"+string(key), streams[0].Dict[key], form.Dict[key])
		}
		m.bytes(at, streams[0], form)
	} else {
		got, err := c.doc.Decoded(form)
		if err != nil {
			m.differs(at, Content, "can't be decoded: %v", err)
			return
		}
		m.readers(at, a.joined(streams), got)
	}
	if m.found > before {
		m.differs(at, Content, "the page's content is not the artwork's")
	}
}

// contents returns the streams of the page's content.
func (s *source) contents() (list []*pdfobj.Stream) {
	o, _ := s.doc.Resolve(s.page["Contents"])
	parts, ok := o.(pdfobj.Array)
	if !ok {
		parts = pdfobj.Array{o}
	}
	for _, p := range parts {
		if stream := s.doc.Stream(p); stream != nil {
			list = append(list, stream)
		}
	}
	return list
}

// joined returns several streams as one, parted by line ends (7.8.2).
func (s *source) joined(streams []*pdfobj.Stream) io.Reader {
	array := make(pdfobj.Array, len(streams))
	for i, one := range streams {
		array[i] = one
	}
	return s.doc.Content(array)
}

// comparison begins one with an artwork.
func (c *forms) comparison(a *source) *comparison {
	groups := c.groups[a.doc]
	if groups == nil {
		groups = map[pdfobj.Ref]pdfobj.Ref{}
		c.groups[a.doc] = groups
	}
	return &comparison{
		result: c.Result, src: a.doc, out: c.doc, name: a.name(), renames: c.renames, shared: c.shared,
		seen: map[[2]pdfobj.Ref]bool{}, page: orEmpty(a.page["Resources"]), users: a.users(), groups: groups,
	}
}
