package press

import (
	"maps"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// maskWriter writes the masks of covers.
type maskWriter struct {
	file   *Writer
	covers map[coverKey]pdfobj.Ref
	forms  map[pdfobj.Ref]pdfobj.Ref // forms for the masks, by the artworks' own
}

// form returns the form whose alpha is the shape of an artwork for a cover. A
// varnish is no colour that wants white beneath it, so in this form it is the
// colorant None, which marks nothing and so has no alpha (ISO 32000-1 8.6.6.4;
// Ghostscript's plates show it); all else is shared with the artwork's own form.
func (w *maskWriter) form(art int, own station) (pdfobj.Ref, error) {
	page, stands := w.file.forms.all[art].page, own.ref
	if !w.bares(page) {
		return stands, nil
	}
	if ref, ok := w.forms[stands]; ok {
		return ref, nil
	}
	leads, err := leading(page, func(o pdfobj.Object) bool { return w.namesBare(page.Doc, o) })
	if err != nil {
		return stands, err
	}
	tiling := w.file.forms.all[art].tiling
	copier := w.file.forms.copier(page.Doc).Again(func(r pdfobj.Ref) bool { return leads(r) || tiling != nil && tiling(r) })
	renames := maps.Clone(w.file.setup.Renames)
	if renames == nil {
		renames = Renames{}
	}
	for _, name := range w.file.setup.Bare {
		renames[name] = None
	}
	copier.Replace = (&inkSpaces{renames: renames, shared: w.file.inks.shared}).replace(page.Doc)
	ref, err := w.file.forms.put(page, copier, own.grid)
	if err == nil {
		w.forms[stands] = ref
	}
	return ref, err
}

// bares reports whether a page prints an ink that no white stands under.
func (w *maskWriter) bares(p *artwork.Page) bool {
	return slices.ContainsFunc(p.Inks, func(u artwork.Usage) bool {
		return u.State == artwork.Used && slices.Contains(w.file.setup.Bare, u.Raw)
	})
}

// namesBare reports whether an object is a colour space that names such an ink.
func (w *maskWriter) namesBare(d *pdfobj.Document, o pdfobj.Object) bool {
	space, ok := o.(pdfobj.Array)
	if !ok || len(space) < 4 {
		return false
	}
	switch d.Name(space[0]) {
	case "Separation":
		return slices.Contains(w.file.setup.Bare, d.Name(space[1]))
	case "DeviceN":
		return slices.ContainsFunc(d.Array(space[1]), func(n pdfobj.Object) bool { return slices.Contains(w.file.setup.Bare, d.Name(n)) })
	}
	return false
}
