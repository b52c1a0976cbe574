package press

import (
	"maps"
	"slices"

	"quoin/impose/pdfobj"
)

// Renames say what becomes of spot inks by their names in the artwork: another
// name, or None for an ink that must not print. Only colour-space objects
// change, never content (ISO 32000-1 8.6.6.4, 8.6.6.5).
type Renames map[string]string

// None is the colorant that makes no mark on any device.
const None = "None"

// sources gives the names in artworks that print as name.
func (r Renames) sources(name string) []string {
	var list []string
	if _, renamed := r[name]; !renamed {
		list = append(list, name)
	}
	for _, from := range slices.Sorted(maps.Keys(r)) {
		if r[from] == name {
			list = append(list, from)
		}
	}
	return list
}

// replace is asked by the copier about every object on its way; it answers for
// Separation and DeviceN spaces that name a renamed ink.
func (r Renames) replace(d *pdfobj.Document) func(pdfobj.Ref, pdfobj.Object) (pdfobj.Object, bool) {
	return func(_ pdfobj.Ref, o pdfobj.Object) (pdfobj.Object, bool) {
		space, ok := o.(pdfobj.Array)
		if !ok || len(space) < 4 {
			return nil, false
		}
		switch d.Name(space[0]) {
		case "Separation":
			return r.separation(d, space)
		case "DeviceN":
			return r.deviceN(d, space)
		}
		return nil, false
	}
}

func (r Renames) separation(d *pdfobj.Document, space pdfobj.Array) (pdfobj.Object, bool) {
	to, ok := r[string(d.Name(space[1]))]
	if !ok {
		return nil, false
	}
	changed := slices.Clone(space)
	changed[1] = pdfobj.Name(to)
	return changed, true
}

// deviceN renames components, and the keys of the attributes' Colorants, which
// must stay equal to them.
func (r Renames) deviceN(d *pdfobj.Document, space pdfobj.Array) (pdfobj.Object, bool) {
	names := slices.Clone(d.Array(space[1]))
	changed := false
	for i, n := range names {
		if to, ok := r[string(d.Name(n))]; ok {
			names[i], changed = pdfobj.Name(to), true
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
		key := k
		if to, ok := r[string(k)]; ok {
			key = pdfobj.Name(to)
		}
		if key != None { // a silenced colorant needs no description
			renamed[key] = colorants[k]
		}
	}
	attributes["Colorants"] = renamed
	out[4] = attributes
	return out, true
}
