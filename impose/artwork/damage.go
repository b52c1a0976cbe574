package artwork

import (
	"slices"

	"quoin/impose/pdfobj"
)

// checkDamage looks whether anything that the page needs is lost. A file that
// had to be mended may have lost what no content speaks of: so all that is
// copied with the page is looked at, and decoded as far as it can be.
func checkDamage(s *scan) {
	doc := s.doc
	for ref := range s.places {
		noteLost(s, ref, "")
	}
	contents := s.page.Dict["Contents"]
	for _, o := range append(pdfobj.Array{contents}, s.doc.Array(contents)...) {
		if ref, ok := o.(pdfobj.Ref); ok {
			noteLost(s, ref, "")
		}
	}
	for _, u := range s.fontList {
		if stream := u.file; stream != nil && u.used && stream.RawLength() <= maxFontFile {
			checkIntact(s, stream, "font "+u.Name)
		}
	}
	if !doc.Damage().Any() {
		return
	}
	if doc.Damage().CutOff() {
		s.found.page(ObjectLost, "the file is cut off: it was changed, and the end of the change is missing")
	}
	if len(doc.Catalog()) == 0 {
		s.found.page(ObjectLost, "the file is damaged: its catalog is lost, which says what layers and fields show")
	}
	checkAbove(s)
	checkReached(s)
}

// checkAbove looks at the page itself, what it inherits from, and the catalog.
func checkAbove(s *scan) {
	o := pdfobj.Object(s.page.Ref)
	for range maxAncestors {
		ref, ok := o.(pdfobj.Ref)
		if !ok || ref.IsZero() || noteLost(s, ref, "the page tree") {
			break
		}
		o = s.doc.Dict(ref)["Parent"]
	}
	if root, ok := s.doc.Trailer()["Root"].(pdfobj.Ref); ok {
		noteLost(s, root, "the catalog")
	}
	for _, key := range []pdfobj.Name{"OCProperties", "AcroForm", "OutputIntents"} {
		if ref, ok := s.doc.Catalog()[key].(pdfobj.Ref); ok {
			noteLost(s, ref, string(key))
		}
	}
}

// maxFontFile bounds the fonts that are always decoded, to see if they are
// whole.
const maxFontFile = 32 << 20

// noteLost says that an object which is needed is damaged, and reports whether it is.
func noteLost(s *scan, ref pdfobj.Ref, what string) bool {
	why := s.doc.Damage().Of(ref)
	if why == "" {
		return false
	}
	if what != "" {
		what = " (" + what + ")"
	}
	s.found.add(ObjectLost, objectName(ref), "the file is damaged, and the page needs what is lost%s: %s", what, why)
	return true
}

func checkIntact(s *scan, stream *pdfobj.Stream, what string) {
	if err := s.doc.Damage().Stream(stream); err != nil && s.page.File.context().Err() == nil {
		s.found.add(ObjectLost, objectName(stream.Ref), "%s is damaged: %v", what, err)
	}
}

// aside are keys that lead to what no press needs: descriptions, other pages,
// what is done at a click.
var aside = []pdfobj.Name{
	"Metadata", "PieceInfo", "Parent", "P", "Pg", "Page", "D", "Dest", "Thumb", "B", "A", "AA", "Popup", "IRT", "StructParent", "StructParents", "OPI", "AF",
}

// checkReached walks all that the page is placed with.
func checkReached(s *scan) {
	p := s.page
	seen := map[pdfobj.Ref]bool{}
	todo := pdfobj.Array{p.Dict["Resources"], p.Dict["Contents"], p.Dict["Group"]}
	for _, a := range p.Appearances {
		todo = append(todo, a.Form, a.OC)
	}
	if p.OutputIntent != nil {
		todo = append(todo, p.OutputIntent.Dict)
	}
	for left := maxReached; len(todo) > 0 && left > 0; left-- {
		o := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if ref, ok := o.(pdfobj.Ref); ok {
			if seen[ref] {
				continue
			}
			seen[ref] = true
			if noteLost(s, ref, "") {
				continue
			}
		}
		switch v := s.resolved(o).(type) {
		case pdfobj.Array:
			todo = append(todo, v...)
		case pdfobj.Dict:
			if t := s.doc.Name(v["Type"]); t != "Page" && (t != "Pages" || v["Kids"] == nil) {
				todo = append(todo, needed(v)...)
			}
		case *pdfobj.Stream:
			checkIntact(s, v, "a stream that the page needs")
			todo = append(todo, needed(v.Dict)...)
		}
	}
}

// maxReached bounds the objects that are looked at.
const maxReached = 10_000_000

func needed(d pdfobj.Dict) (list pdfobj.Array) {
	for _, key := range d.Keys() {
		switch d[key].(type) {
		case pdfobj.Ref, pdfobj.Array, pdfobj.Dict:
			if !slices.Contains(aside, key) {
				list = append(list, d[key])
			}
		}
	}
	return list
}
