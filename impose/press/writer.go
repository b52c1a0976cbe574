package press

import (
	"fmt"
	"io"

	"quoin/impose/artwork"
	"quoin/impose/draw"
	"quoin/impose/ink"
	"quoin/impose/pdfobj"
)

// Setup is what a document is begun with.
type Setup struct {
	Info     Info
	Artworks []*artwork.Page // in the order that draw.Place counts them
	Inks     []ink.Ink       // of the job: their looks, for what the engine draws
	// Names are the bytes of the names of inks that are not UTF-8 in the
	// artworks, by the text that stands for them.
	Names   map[string]pdfobj.Name
	Costs   []Cost        // of the artworks, as Costs worked them out; without one, patterns are copied as stations want them
	Renames Renames       // spot inks that print under another name, or not at all
	Bare    []pdfobj.Name // spot inks of the artworks that no cover stands under
	Shared  []Shared      // spot inks that have the look of one artwork in all
	Blend   Blend         // colour space that frames blend in
	Intent  Intent        // what printing condition the job is made for
	Mirror  bool          // all frames, which have one width, are mirrored across
}

// Writer writes frames to a PDF as they come; memory does not grow with their
// number. The first error sticks.
type Writer struct {
	out    *pdfobj.Writer
	setup  Setup
	forms  formWriter
	masks  maskWriter
	plates *plates
	inks   *inkSpaces
	layers *layers
	fonts  *fonts
	series []*Series
	pages  *pageTree
	parts  *documentParts
	group  pdfobj.Object
	mirror pdfobj.Ref // content that mirrors a page; zero until it is needed

	states       map[string]pdfobj.Ref
	spaceNumbers map[string]int
	err          error
}

// New begins a document on w and copies the artworks into it.
func New(w io.Writer, setup Setup) (*Writer, error) {
	out, err := pdfobj.NewWriter(w, pdfobj.WriterOptions{Version: "1.6"}) // what PDF/X-4 builds on
	if err != nil {
		return nil, err
	}
	p := &Writer{
		out: out, setup: setup,
		plates: newPlates(out, setup.Inks, setup.Names),
		inks:   &inkSpaces{renames: setup.Renames, shared: make(map[pdfobj.Name]look)},
		layers: &layers{out: out, steps: make(map[draw.Layer]pdfobj.Ref)},
		fonts:  &fonts{out: out},
		pages:  newPageTree(out),
		parts:  &documentParts{out: out},
		states: make(map[string]pdfobj.Ref), spaceNumbers: make(map[string]int),
	}
	p.forms = formWriter{file: p, copiers: make(map[*pdfobj.Document]*pdfobj.Copier)}
	p.masks = maskWriter{file: p, covers: make(map[coverKey]pdfobj.Ref), forms: make(map[pdfobj.Ref]pdfobj.Ref)}
	for _, s := range setup.Shared {
		if err := p.share(s); err != nil {
			return nil, fmt.Errorf("%s: its ink %q: %w", s.From.Name(), s.Name, err)
		}
	}
	for _, a := range setup.Artworks {
		if err := p.addArtwork(a); err != nil {
			return nil, fmt.Errorf("%s: %w", a.Name(), err)
		}
	}
	if p.group, err = p.blendGroup(setup.Blend); err != nil {
		return nil, err
	}
	return p, nil
}

// addArtwork copies a page with its layers and its spot inks' colour spaces.
func (w *Writer) addArtwork(a *artwork.Page) error {
	if err := w.forms.copyPage(a); err != nil {
		return err
	}
	copier := w.forms.copier(a.Doc)
	if err := w.layers.take(copier, a.BaseName(), a.Layers); err != nil {
		return err
	}
	for _, i := range w.setup.Inks {
		if _, taken := w.plates.taken[i.Name]; taken {
			continue
		}
		space, ok := w.spotSpace(a, w.plates.raw(i.Name))
		if !ok {
			continue
		}
		copied, err := copier.Copy(space)
		if err != nil {
			return fmt.Errorf("its ink %q: %w", i.Name, err)
		}
		w.plates.taken[i.Name] = copied
	}
	return nil
}

// copier returns the one copier of a source document, so that what several
// pages share is copied once.
func (w *formWriter) copier(d *pdfobj.Document) *pdfobj.Copier {
	c, ok := w.copiers[d]
	if !ok {
		c = pdfobj.NewCopier(d, w.file.out)
		if len(w.file.setup.Renames)+len(w.file.setup.Shared) > 0 {
			c.Replace = w.file.inks.replace(d)
		}
		w.copiers[d] = c
	}
	return c
}

// keep remembers the first error of a write that has no better place for it.
func (w *Writer) keep(err error) {
	if w.err == nil {
		w.err = err
	}
}

// Close writes what the document needs beside its frames.
func (w *Writer) Close() error {
	if w.err == nil {
		w.err = w.close()
	}
	return w.err
}

func (w *Writer) close() error {
	if w.pages.pages == 0 {
		return fmt.Errorf("a document needs at least one frame")
	}
	if err := w.fonts.close(); err != nil {
		return err
	}
	for _, s := range w.series {
		if err := s.close(); err != nil {
			return err
		}
	}
	pages, err := w.pages.close()
	if err != nil {
		return err
	}
	catalog := pdfobj.Dict{"Type": pdfobj.Name("Catalog"), "Pages": pages}
	parts, err := w.parts.close()
	if err != nil {
		return err
	}
	if parts != nil {
		catalog["DPartRoot"] = parts
	}
	if p := w.layers.properties(); p != nil {
		catalog["OCProperties"] = p
	}
	intent, err := w.outputIntent(w.setup.Intent)
	if err != nil {
		return err
	}
	if intent != nil {
		catalog["OutputIntents"] = pdfobj.Array{intent}
	}
	sum := w.out.Digest()
	packet, err := w.setup.Info.xmp(documentID(sum[:]))
	if err != nil {
		return err
	}
	if catalog["Metadata"], err = putStream(w.out, pdfobj.Dict{"Type": pdfobj.Name("Metadata"), "Subtype": pdfobj.Name("XML")}, packet, false); err != nil {
		return err
	}
	root, info := w.out.Alloc(), w.out.Alloc()
	if err := w.out.Put(root, catalog); err != nil {
		return err
	}
	if err := w.out.Put(info, w.setup.Info.dict()); err != nil {
		return err
	}
	return w.out.Close(root, info)
}
