package press

import (
	"maps"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// maskForm gives the form whose alpha is the shape of an artwork for a cover. A
// varnish is no colour that wants white beneath it, so in this form it is the
// colorant None, which marks nothing and so has no alpha (ISO 32000-1 8.6.6.4;
// Ghostscript's plates show it); all else is shared with the artwork's own form.
func (w *Writer) maskForm(art int, own station) (pdfobj.Ref, error) {
	page, stands := w.forms[art].page, own.ref
	if !w.bares(page) {
		return stands, nil
	}
	if ref, ok := w.masks[stands]; ok {
		return ref, nil
	}
	leads, err := leading(page, func(o pdfobj.Object) bool { return w.namesBare(page.Doc, o) })
	if err != nil {
		return stands, err
	}
	tiling := w.forms[art].tiling
	copier := w.copierFor(page.Doc).Again(func(r pdfobj.Ref) bool { return leads(r) || tiling != nil && tiling(r) })
	renames := maps.Clone(w.setup.Renames)
	if renames == nil {
		renames = Renames{}
	}
	for _, name := range w.setup.Bare {
		renames[name] = None
	}
	copier.Replace = (&inkSpaces{renames: renames, shared: w.inks.shared}).replace(page.Doc)
	ref, err := w.putForm(page, copier, own.grid)
	if err == nil {
		w.masks[stands] = ref
	}
	return ref, err
}

// bares reports whether a page prints an ink that no white stands under.
func (w *Writer) bares(p *artwork.Page) bool {
	return slices.ContainsFunc(p.Inks, func(u artwork.Usage) bool {
		return u.State == artwork.Used && slices.Contains(w.setup.Bare, u.Raw)
	})
}

// namesBare reports whether an object is a colour space that names such an ink.
func (w *Writer) namesBare(d *pdfobj.Document, o pdfobj.Object) bool {
	space, ok := o.(pdfobj.Array)
	if !ok || len(space) < 4 {
		return false
	}
	switch d.Name(space[0]) {
	case "Separation":
		return slices.Contains(w.setup.Bare, d.Name(space[1]))
	case "DeviceN":
		return slices.ContainsFunc(d.Array(space[1]), func(n pdfobj.Object) bool { return slices.Contains(w.setup.Bare, d.Name(n)) })
	}
	return false
}
