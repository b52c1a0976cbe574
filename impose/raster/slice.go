package raster

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"slices"

	"quoin/impose/pdfobj"
	"quoin/impose/wholefile"
)

// The renderer makes objects of all that a page paints before it draws any of it,
// which takes five times what the content has. A draft of much content is drawn in
// slices, one upon the other: what is painted first lies beneath, so that nothing
// changes. Each slice begins in the state that the one before it left.
var sliceBytes int64 = 4 << 20 // of content, at least; tests set it

// mostReplayed is how many bytes of operators may restore a state; where there are
// more, nothing is cut.
const mostReplayed = 64 << 10

// sliced is a draft's content, cut up.
type sliced struct {
	draft   *Draft
	host    *pdfobj.Stream // whose content is cut
	content *wholefile.Scratch
	parts   []part
	root    pdfobj.Object
	start   int64 // of the draft's table of objects
	size    int64 // objects of the draft
}

// part is a slice: some of the content with what restores the state before it and
// what ends it.
type part struct {
	before, after []byte
	from, to      int64
}

// slice cuts a draft; nil where that isn't worth it, or can't be done.
func slice(ctx context.Context, d *Draft) (*sliced, error) {
	if d.Size() < sliceBytes/4 {
		return nil, nil
	}
	at, err := d.at()
	if err != nil {
		return nil, err
	}
	doc, err := pdfobj.Open(at, d.Size(), pdfobj.Limits{Context: ctx, MaxDecoded: 1 << 40})
	if err != nil {
		return nil, ctx.Err() // of anything else the renderer will say what is wrong
	}
	page, err := doc.Page(0)
	if err != nil {
		return nil, ctx.Err()
	}
	s := &sliced{draft: d, root: doc.Trailer()["Root"]}
	s.size, _ = doc.Int(doc.Trailer()["Size"])
	knockout, _ := doc.Bool(doc.Dict(page.Dict["Group"])["K"])
	s.start = pdfobj.StartXref(doc)
	if s.host = hostOf(doc, page.Dict); s.host == nil || knockout || s.size == 0 || s.start == 0 {
		return nil, nil
	}
	if s.content, err = wholefile.NewScratch("quoin-slices-"); err != nil {
		return nil, err
	}
	c := &cutter{to: s.content, in: doc.Content(s.host)}
	if err := c.run(ctx); err != nil || len(c.parts) < 2 {
		s.close()
		return nil, err
	}
	s.parts = c.parts
	return s, nil
}

func (s *sliced) close() {
	if s != nil {
		s.content.Close()
	}
}

// hostOf returns the stream with nearly all that a page paints: its content, or the one
// form that this paints. nil where there is none, or where what it paints blends with
// what lies beneath in a way that the renderer decides for a page as a whole.
func hostOf(doc *pdfobj.Document, page pdfobj.Dict) *pdfobj.Stream {
	host := doc.Stream(page["Contents"])
	if host == nil || host.Ref.IsZero() {
		return nil
	}
	resources := page["Resources"]
	if host.RawLength() < sliceBytes/4 {
		form := onlyForm(doc, host, doc.Dict(resources))
		if form == nil || form.Ref.IsZero() || form.RawLength() < sliceBytes/4 || form.Dict["Group"] != nil || form.Dict["Resources"] == nil {
			return nil
		}
		host, resources = form, form.Dict["Resources"]
	}
	if !plain(doc, resources, map[pdfobj.Ref]bool{}, 0) {
		return nil
	}
	return host
}

// onlyForm returns the form that content paints, if it paints nothing else.
func onlyForm(doc *pdfobj.Document, content *pdfobj.Stream, resources pdfobj.Dict) (form *pdfobj.Stream) {
	c := pdfobj.NewContentScanner(doc.Content(content))
	for n := 0; c.Next(); n++ {
		op := c.Operation()
		switch {
		case n > 200 || !keeps(op.Operator) && op.Operator != "Do":
			return nil
		case op.Operator == "Do":
			if form != nil {
				return nil
			}
			form = doc.Stream(doc.Dict(resources["XObject"])[pdfobj.NameAt(op.Operands, 0)])
			if form == nil || doc.Name(form.Dict["Subtype"]) != "Form" {
				return nil
			}
		}
	}
	return form
}

// plain reports whether nothing that an object reaches blends, or masks softly by a
// group.
func plain(doc *pdfobj.Document, o pdfobj.Object, seen map[pdfobj.Ref]bool, depth int) bool {
	if ref, ok := o.(pdfobj.Ref); ok {
		if seen[ref] {
			return true
		}
		seen[ref] = true
	}
	if depth > 60 || len(seen) > 5000 {
		return false
	}
	o, err := doc.Resolve(o)
	if err != nil {
		return false
	}
	switch v := o.(type) {
	case pdfobj.Array:
		return !slices.ContainsFunc(v, func(e pdfobj.Object) bool { return !plain(doc, e, seen, depth+1) })
	case *pdfobj.Stream:
		return plain(doc, v.Dict, seen, depth+1)
	case pdfobj.Dict:
		if mode := v["BM"]; mode != nil && doc.Name(mode) != "Normal" && doc.Name(mode) != "Compatible" {
			return false
		}
		if mask := doc.Dict(v["SMask"]); mask["G"] != nil {
			return false
		}
		for _, key := range v.Keys() {
			if key != "Parent" && !plain(doc, v[key], seen, depth+1) {
				return false
			}
		}
	}
	return true
}

// reader returns the draft with a slice in the place of its content: what follows the
// draft's end overrides what it has (ISO 32000-1 7.5.6).
func (s *sliced) reader(n int) (io.ReadSeeker, int64, error) {
	p := s.parts[n]
	at, err := s.draft.at()
	if err != nil {
		return nil, 0, err
	}
	dict := pdfobj.Dict{}
	for _, key := range s.host.Dict.Keys() {
		if key != "Filter" && key != "DecodeParms" {
			dict[key] = s.host.Dict[key]
		}
	}
	dict["Length"] = pdfobj.Integer(int64(len(p.before)+len(p.after)) + p.to - p.from)
	text, err := pdfobj.AppendObject(nil, dict)
	if err != nil {
		return nil, 0, err
	}
	object := s.draft.Size() + 1
	head := fmt.Appendf(nil, "\n%d 0 obj\n%s\nstream\n%s", s.host.Ref.Num, text, p.before)
	tail := append(bytes.Clone(p.after), "\nendstream\nendobj\n"...)
	table := s.draft.Size() + int64(len(head)+len(tail)) + p.to - p.from
	lines := append(entry(object), entry(table)...)
	text, err = pdfobj.AppendObject(nil, pdfobj.Dict{
		"Type": pdfobj.Name("XRef"), "Size": pdfobj.Integer(s.size + 1), "W": pdfobj.Array{pdfobj.Integer(1), pdfobj.Integer(8), pdfobj.Integer(2)},
		"Index": pdfobj.Array{pdfobj.Integer(s.host.Ref.Num), pdfobj.Integer(1), pdfobj.Integer(s.size), pdfobj.Integer(1)},
		"Root":  s.root, "Prev": pdfobj.Integer(s.start), "Length": pdfobj.Integer(len(lines)),
	})
	if err != nil {
		return nil, 0, err
	}
	tail = fmt.Appendf(tail, "%d 0 obj\n%s\nstream\n%s\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n", s.size, text, lines, table)
	all := &joined{parts: []io.ReaderAt{at, bytes.NewReader(head), io.NewSectionReader(s.content, p.from, p.to-p.from), bytes.NewReader(tail)},
		sizes: []int64{s.draft.Size(), int64(len(head)), p.to - p.from, int64(len(tail))}}
	size := all.sizes[0] + all.sizes[1] + all.sizes[2] + all.sizes[3]
	return io.NewSectionReader(all, 0, size), size, nil
}

// entry is a line of a table of objects: one that lies at an offset.
func entry(at int64) []byte {
	return append(binary.BigEndian.AppendUint64([]byte{1}, uint64(at)), 0, 0)
}

// joined reads several things one behind another.
type joined struct {
	parts []io.ReaderAt
	sizes []int64
}

func (j *joined) ReadAt(p []byte, off int64) (n int, err error) {
	for i, part := range j.parts {
		if off >= j.sizes[i] {
			off -= j.sizes[i]
			continue
		}
		want := min(int64(len(p)-n), j.sizes[i]-off)
		got, err := part.ReadAt(p[n:n+int(want)], off)
		n += got
		if int64(got) < want {
			return n, err
		}
		if n == len(p) {
			return n, nil
		}
		off = 0
	}
	return n, io.EOF
}
