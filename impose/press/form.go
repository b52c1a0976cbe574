package press

import (
	"fmt"
	"io"
	"strings"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// form is an artwork page as a Form XObject.
type form struct {
	page          *artwork.Page
	ref           pdfobj.Ref
	width, height float64 // of the upright trim, in points

	tiling func(pdfobj.Ref) bool  // what is copied for each form; nil if there is no such thing
	agree  func(m, n matrix) bool // whether two places may share a form
	grids  map[[4]float64]grid    // how patterns are wrapped; nil where they are copied
	at     map[matrix]station     // the forms for stations
	own    []matrix               // places that need a form of their own, in the order of their forms
}

// station is the form that stands at one of them.
type station struct {
	name string
	ref  pdfobj.Ref
	grid *grid // how its patterns are wrapped; nil where they aren't
}

// formWriter writes artworks as forms.
type formWriter struct {
	file    *Writer
	all     []form // by artwork
	copiers map[*pdfobj.Document]*pdfobj.Copier
}

// copyPage copies an artwork page into the document. The page's content,
// resources and transparency group stay what they are; Rotate, UserUnit and
// the boxes' origin go into the form's Matrix (ISO 32000-1 8.10).
func (w *formWriter) copyPage(p *artwork.Page) error {
	m := p.FormMatrix()
	trim := m.Bounds(p.Boxes.Trim)
	f := form{page: p, width: trim.Width(), height: trim.Height(), at: map[matrix]station{}}
	var err error
	var cost Cost
	if n := len(w.all); n < len(w.file.setup.Costs) {
		cost = w.file.setup.Costs[n]
	}
	if p.Tiling && !cost.Shared {
		if f.tiling, err = toTiling(p); err != nil {
			return err
		}
		cells, err := cellsOf(p)
		if err != nil {
			return err
		}
		f.agree = cells.agree
	}
	if cost.Wrapped && !cost.Shared {
		f.grids, f.agree = cost.grids, gridsAgree(cost.grids)
	} else if f.ref, err = w.put(p, w.copier(p.Doc), nil); err != nil {
		return err
	}
	w.all = append(w.all, f)
	return nil
}

// at returns the form for a place that has this matrix, and its name.
func (w *formWriter) at(art int, m matrix) (station, error) {
	f := &w.all[art]
	if s, ok := f.at[m]; ok {
		return s, nil
	}
	s := station{name: fmt.Sprintf("Art%d", art+1), ref: f.ref}
	if f.tiling != nil {
		for _, n := range f.own {
			if f.agree(m, n) {
				f.at[m] = f.at[n]
				return f.at[n], nil
			}
		}
		f.own = append(f.own, m)
	}
	if g, ok := f.grids[[4]float64(m[:4])]; ok && g.stands[m] {
		s.grid = &g
	}
	if len(f.own) > 1 || f.grids != nil {
		s.name = fmt.Sprintf("Art%dS%d", art+1, len(f.own))
		var err error
		if s.ref, err = w.put(f.page, w.copier(f.page.Doc).Again(f.tiling), s.grid); err != nil {
			return s, fmt.Errorf("%s: %w", f.page.Name(), err)
		}
	}
	f.at[m] = s
	return s, nil
}

// put writes the page as a form, with what the copier is to copy and its
// patterns wrapped as the grid says; nil leaves them as they are.
//
// Annotations that print stand above the page and in its space, so a page with
// such gets an outer form that paints the page and then each appearance.
func (w *formWriter) put(p *artwork.Page, copier *pdfobj.Copier, wrap *grid) (pdfobj.Ref, error) {
	resources := w.file.out.Alloc()
	complete := newCompleter(p)
	complete.next = copier.Replace
	copier.Replace = complete.replace
	defer func() { copier.Replace = complete.next }()
	if wrap != nil {
		if err := wrap.wrap(p, copier, complete); err != nil {
			return resources, err
		}
	}

	copied, err := copyDict(copier, p.Doc.Dict(p.Dict["Resources"]))
	if err != nil {
		return resources, fmt.Errorf("its resources: %w", err)
	}
	if err := w.file.out.Put(resources, copied); err != nil {
		return resources, err
	}
	media := p.Boxes.Media
	inner := formDict(media[:])
	inner["Resources"] = resources
	outer := inner
	appearances := p.Appearances
	if len(appearances) > 0 {
		outer = formDict(media[:])
	}
	m := p.FormMatrix()
	outer["Matrix"] = numbers(m[:]...)
	if group := p.Group; group != nil {
		if group["CS"] != nil && !w.file.setup.Blend.same(p) {
			group = with(group, "I", true)
		}
		if outer["Group"], err = copyDict(copier, group); err != nil {
			return resources, fmt.Errorf("its transparency group: %w", err)
		}
	}
	ref, err := w.putContent(copier, p, inner)
	if err != nil {
		return ref, fmt.Errorf("its content: %w", err)
	}
	if len(appearances) > 0 {
		ref, err = w.putAppearances(copier, outer, ref, appearances)
	}
	if err == nil {
		err = w.file.inks.err
	}
	return ref, err
}

// contents returns the streams of a page's content, in order. What is no stream
// is left out, as viewers do.
func contents(p *artwork.Page) []*pdfobj.Stream {
	o, _ := p.Doc.Resolve(p.Dict["Contents"]) // damaged content is no content; the artwork's findings say so
	if s, ok := o.(*pdfobj.Stream); ok {
		return []*pdfobj.Stream{s}
	}
	var list []*pdfobj.Stream
	for _, part := range p.Doc.Array(o) {
		if s := p.Doc.Stream(part); s != nil {
			list = append(list, s)
		}
	}
	return list
}

func formDict(box []float64) pdfobj.Dict {
	return pdfobj.Dict{
		"Type": pdfobj.Name("XObject"), "Subtype": pdfobj.Name("Form"), "BBox": numbers(box...),
	}
}

// putContent writes the page's content as a form. One stream is copied byte
// for byte; several are joined with white space between, as ISO 32000-1 7.8.2
// says that they are read, which needs them decoded.
func (w *formWriter) putContent(copier *pdfobj.Copier, p *artwork.Page, dict pdfobj.Dict) (pdfobj.Ref, error) {
	ref := w.file.out.Alloc()
	streams := contents(p)
	if len(streams) == 1 {
		s := streams[0]
		for _, key := range []pdfobj.Name{"Filter", "DecodeParms"} {
			if v := s.Dict[key]; v != nil {
				copied, err := copier.Copy(v)
				if err != nil {
					return ref, err
				}
				dict[key] = copied
			}
		}
		return ref, w.file.out.PutCopy(ref, dict, p.Doc, s)
	}
	var parts []io.Reader
	for i, s := range streams {
		decoded, err := p.Doc.Decoded(s)
		if err != nil {
			return ref, fmt.Errorf("part %d of %d: %w", i+1, len(streams), err)
		}
		parts = append(parts, decoded, strings.NewReader("\n"))
	}
	return ref, w.file.out.PutStream(ref, dict, io.MultiReader(parts...), -1, true)
}

// putAppearances writes the outer form over a page with annotations.
func (w *formWriter) putAppearances(copier *pdfobj.Copier, dict pdfobj.Dict, content pdfobj.Ref, appearances []artwork.Appearance) (pdfobj.Ref, error) {
	ref := w.file.out.Alloc()
	xobjects, layers := pdfobj.Dict{"Page": content}, pdfobj.Dict{}
	c := &ops{}
	c.named("Page", "Do")
	for i, a := range appearances {
		name := fmt.Sprintf("Annot%d", i+1)
		copied, err := copier.Copy(a.Form)
		if err == nil && a.OC != nil {
			layers[pdfobj.Name(name)], err = copier.Copy(a.OC)
		}
		if err != nil {
			return ref, fmt.Errorf("the appearance of its annotation %d: %w", i+1, err)
		}
		xobjects[pdfobj.Name(name)] = copied
		if a.OC != nil {
			c.begin(name)
		}
		c.op("q")
		c.op("cm", a.Matrix[:]...)
		c.named(name, "Do")
		c.op("Q")
		if a.OC != nil {
			c.op("EMC")
		}
	}
	resources := pdfobj.Dict{"XObject": xobjects}
	if len(layers) > 0 {
		resources["Properties"] = layers
	}
	dict["Resources"] = resources
	return ref, fillStream(w.file.out, ref, dict, c.buf, true)
}
