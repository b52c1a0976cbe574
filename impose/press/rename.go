package press

import (
	"fmt"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// Renames say what becomes of spot inks by their names in the artwork, byte
// for byte: another name, or None for an ink that must not print. Only
// colour-space objects change, never content (ISO 32000-1 8.6.6.4, 8.6.6.5).
type Renames map[pdfobj.Name]pdfobj.Name

// None is the colorant that makes no mark on any device.
const None = "None"

// on returns the name on the press.
func (r Renames) on(name pdfobj.Name) pdfobj.Name {
	if to, ok := r[name]; ok {
		return to
	}
	return name
}

// Shared is an ink that artworks bring with different looks: the colour space
// of the page From stands in place of all of them, since one name must have
// one alternate.
type Shared struct {
	Name pdfobj.Name // on the press
	From *artwork.Page
}

// look is the alternate and the tint transform of a shared ink, written once.
type look struct{ alternate, tint pdfobj.Object }

// inkSpaces changes the colour spaces of inks on their way into the file.
type inkSpaces struct {
	err     error // of the first mixture that lost an ink
	renames Renames
	shared  map[pdfobj.Name]look
}

// replace is asked by the copier about every object on its way; it answers for
// Separation and DeviceN spaces that name an ink which is renamed or shared.
func (s *inkSpaces) replace(d *pdfobj.Document) func(pdfobj.Ref, pdfobj.Object) (pdfobj.Object, bool) {
	return func(_ pdfobj.Ref, o pdfobj.Object) (pdfobj.Object, bool) {
		space, ok := o.(pdfobj.Array)
		if !ok || len(space) < 4 {
			return nil, false
		}
		switch d.Name(space[0]) {
		case "Separation":
			return s.separation(d, space)
		case "DeviceN":
			o, ok := s.renames.deviceN(d, space)
			if s.err == nil && ok {
				s.err = distinct(d, o)
			}
			return o, ok
		}
		return nil, false
	}
}

func (s *inkSpaces) separation(d *pdfobj.Document, space pdfobj.Array) (pdfobj.Object, bool) {
	name := d.Name(space[1])
	to := s.renames.on(name)
	shared, ok := s.shared[to]
	if !ok && to == name {
		return nil, false
	}
	changed := slices.Clone(space)
	changed[1] = to
	if ok {
		changed[2], changed[3] = shared.alternate, shared.tint
	}
	return changed, true
}

// deviceN renames components, and the keys of the attributes' Colorants, which
// must stay equal to them. The Colorants' own spaces are asked for by
// themselves.
func (r Renames) deviceN(d *pdfobj.Document, space pdfobj.Array) (pdfobj.Object, bool) {
	names := slices.Clone(d.Array(space[1]))
	changed := false
	for i, n := range names {
		if to, ok := r[d.Name(n)]; ok {
			names[i], changed = to, true
		}
	}
	if !changed {
		return nil, false
	}
	out := slices.Clone(space)
	out[1] = names
	if len(out) < 5 {
		return out, true
	}
	attributes := d.Dict(out[4]).Clone()
	colorants := d.Dict(attributes["Colorants"])
	if attributes == nil || colorants == nil {
		return out, true
	}
	renamed := pdfobj.Dict{}
	for _, k := range colorants.Keys() {
		if to := r.on(k); to != None { // a silenced colorant needs no description
			renamed[to] = colorants[k]
		}
	}
	attributes["Colorants"] = renamed
	out[4] = attributes
	return out, true
}

// distinct fails for a DeviceN of which renaming made two colorants the same
// (8.6.6.5 wants each once): one would be lost.
func distinct(d *pdfobj.Document, space pdfobj.Object) error {
	a, _ := space.(pdfobj.Array)
	seen := map[pdfobj.Name]bool{}
	for _, o := range d.Array(a[1]) {
		n := d.Name(o)
		if seen[n] && n != None {
			return fmt.Errorf("a colour space would name the ink %q twice, and one of the two would be lost", n)
		}
		seen[n] = true
	}
	return nil
}

// share writes the look of a shared ink.
func (w *Writer) share(s Shared) error {
	copier := w.forms.copier(s.From.Doc)
	space, ok := w.spotSpace(s.From, s.Name)
	if !ok || len(space) < 4 {
		return nil // its first page has it in mixtures only, which say nothing of it alone
	}
	alternate, err := copier.Copy(space[2])
	if err != nil {
		return err
	}
	tint, err := copier.Copy(space[3])
	if err != nil {
		return err
	}
	w.inks.shared[s.Name] = look{pdfobj.Place(alternate), pdfobj.Place(tint)}
	return nil
}

// spotSpace finds the artwork's Separation of an ink by its name on the press.
func (w *Writer) spotSpace(a *artwork.Page, name pdfobj.Name) (pdfobj.Array, bool) {
	for _, u := range a.Inks {
		if w.inks.renames.on(u.Raw) != name {
			continue
		}
		if space, ok := a.SpotSpace(u.Name); ok {
			return a.Doc.Array(space), true
		}
	}
	return nil, false
}
