package press

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// Series is a run of frames that differ only in some text: variable data. What
// they have in common stands in the file once, and what differs is rendered
// apart from the file, by as many goroutines as there are.
type Series struct {
	w         *Writer
	size      geometry.Size
	resources resources
	ref       pdfobj.Ref // of the resources, which all frames share
	paints    []seriesPaint
	fonts     []int // numbers in the document
}

// seriesPaint is a paint with the operators that choose it.
type seriesPaint struct {
	draw.Paint
	operators []byte
}

// Series begins a run of frames whose text is painted in the paints and set in
// the fonts given, and in no others.
func (w *Writer) Series(size geometry.Size, paints []draw.Paint, fonts []*draw.Font) (*Series, error) {
	if w.err != nil {
		return nil, w.err
	}
	s := &Series{w: w, size: size, resources: newResources(), ref: w.out.Alloc()}
	for _, p := range paints {
		c := newCanvas(size)
		if err := w.choose(&c.ops, &s.resources, p, true); err != nil {
			return nil, err
		}
		s.paints = append(s.paints, seriesPaint{p, c.buf})
	}
	for _, f := range fonts {
		n := w.fonts.number(f)
		s.fonts = append(s.fonts, n)
		s.resources.fonts[pdfobj.Name(fontName(n))] = w.fonts.list[n].ref
	}
	w.series = append(w.series, s)
	return s, nil
}

// close writes the resources, which grow until the last frame.
func (s *Series) close() error { return s.w.out.Put(s.ref, s.resources.dict()) }

// Kept is content that stands in the file once, for any number of frames.
type Kept struct{ ref pdfobj.Ref }

// Keep writes items for many frames.
func (s *Series) Keep(items []draw.Item) (Kept, error) {
	if s.w.err != nil {
		return Kept{}, s.w.err
	}
	ref := s.w.out.Alloc()
	c := newCanvas(s.size)
	for i, item := range items {
		if s.w.err = s.w.item(c, &s.resources, item); s.w.err != nil {
			return Kept{}, fmt.Errorf("item %d of the frames: %w", i+1, s.w.err)
		}
	}
	s.w.err = fillStream(s.w.out, ref, pdfobj.Dict{}, c.buf, true)
	return Kept{ref}, s.w.err
}

// Renderer turns text into content. Each goroutine needs one of its own.
type Renderer struct {
	series  *Series
	canvas  *canvas
	deflate *zlib.Writer
	out     bytes.Buffer
}

// seriesLevel is the deflate level of what differs. Measured with a text and a
// QR Code on each label, processor time and bytes against level 6: level 1
// 0.63 and 1.08, level 4 0.76 and 1.02, level 9 1.20 and 1.00.
const seriesLevel = 4

// Renderer returns a renderer for one goroutine.
func (s *Series) Renderer() *Renderer {
	r := &Renderer{series: s, canvas: newCanvas(s.size)}
	r.deflate, _ = zlib.NewWriterLevel(&r.out, seriesLevel) // the level is a valid one
	return r
}

// Content is rendered text of one frame.
type Content struct {
	deflated []byte
	used     []glyphSet // by the series' fonts
}

// Render renders the text of one frame. It changes nothing in the file.
// Neighbours that share paint, font and size take the fewest bytes.
func (r *Renderer) Render(texts []draw.Text) (*Content, error) {
	s, c := r.series, r.canvas
	content := &Content{used: make([]glyphSet, len(s.fonts))}
	c.buf = append(c.buf[:0], "q\n"...)
	paint, font := -1, -1
	for i := range texts {
		t := &texts[i]
		p, f := s.paint(paint, t.Paint), s.font(font, t.Font)
		if p < 0 {
			return nil, fmt.Errorf("text is to be painted in %s, which the run was not begun with", t.Paint)
		}
		if f < 0 {
			return nil, fmt.Errorf("text is to be set in the font %s, which the run was not begun with", t.Font.Name)
		}
		if p != paint {
			if paint >= 0 {
				c.buf = append(c.buf, "ET Q q\n"...)
			}
			c.buf = append(append(c.buf, s.paints[p].operators...), "BT\n"...)
			paint, font = p, -1
		}
		if f != font {
			c.font(s.fonts[f], t.Font)
			font = f
		}
		c.show(t, c.page, &content.used[font])
	}
	if paint >= 0 {
		c.buf = append(c.buf, "ET\n"...)
	}
	c.buf = append(c.buf, "Q\n"...)
	r.out.Reset()
	r.deflate.Reset(&r.out)
	if _, err := r.deflate.Write(c.buf); err != nil {
		return nil, err
	}
	if err := r.deflate.Close(); err != nil {
		return nil, err
	}
	content.deflated = bytes.Clone(r.out.Bytes())
	return content, nil
}

// paint returns the number of a paint, that of the last one first; -1 for none.
func (s *Series) paint(last int, p draw.Paint) int {
	if last >= 0 && s.paints[last].same(p) {
		return last
	}
	return slices.IndexFunc(s.paints, func(q seriesPaint) bool { return q.same(p) })
}

func (p *seriesPaint) same(q draw.Paint) bool {
	return p.Overprint == q.Overprint && slices.Equal(p.Tints, q.Tints)
}

func (s *Series) font(last int, f *draw.Font) int {
	if last >= 0 && s.w.fonts.list[s.fonts[last]].Font == f {
		return last
	}
	return slices.IndexFunc(s.fonts, func(n int) bool { return s.w.fonts.list[n].Font == f })
}

// About is what a page's part of the document says: the number of its frame, and
// for each lane of the press, as lane, first and last record, which records are on
// it. The names are of this engine's own (ISO 32000-2 annex E, second class).
type About struct {
	Frame int64
	Lanes [][3]int64
}

func (a About) dict() pdfobj.Dict {
	if a.Frame == 0 {
		return nil
	}
	var lanes pdfobj.Array
	for _, l := range a.Lanes {
		lanes = append(lanes, pdfobj.Array{pdfobj.Integer(l[0]), pdfobj.Integer(l[1]), pdfobj.Integer(l[2])})
	}
	return pdfobj.Dict{"QUOIN_Frame": pdfobj.Integer(a.Frame), "QUOIN_Lanes": lanes}
}

// Add writes the next frame: what is kept beneath the text, what stands on this
// frame alone beneath it, the text, and what is kept above it. Its page is a part of
// the document that carries what is said of it.
func (s *Series) Add(beneath Kept, own []draw.Item, text *Content, above Kept, said About) error {
	w := s.w
	if w.err != nil {
		return w.err
	}
	for i, used := range text.used {
		w.fonts.list[s.fonts[i]].used.addAll(used)
	}
	var ref pdfobj.Ref
	if ref, w.err = putStream(w.out, pdfobj.Dict{"Filter": pdfobj.Name("FlateDecode")}, text.deflated, false); w.err == nil {
		contents := pdfobj.Array{beneath.ref, ref, above.ref}
		if len(own) > 0 {
			kept, err := s.Keep(own)
			if err != nil {
				return err
			}
			contents = pdfobj.Array{beneath.ref, kept.ref, ref, above.ref}
		}
		var part, page pdfobj.Ref
		if part, w.err = w.parts.begin(); w.err != nil {
			return w.err
		}
		page, w.err = w.addPage(s.size, s.ref, contents, part)
		w.parts.end(page, said.dict())
	}
	return w.err
}
