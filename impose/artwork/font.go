package artwork

import (
	"strings"

	"quoin/impose/pdfobj"
)

// Font is a font that the page shows text in.
type Font struct {
	Ref      pdfobj.Ref
	Name     string // BaseFont without the letters of a subset
	Type     string // Type1, TrueType, Type0 (with its descendant), Type3, ...
	Embedded bool
	Subset   bool
}

// fontUse is a font of the resources.
type fontUse struct {
	Font
	file      *pdfobj.Stream // the embedded font program
	used      bool
	invisible bool // so far it has only been used in text that doesn't show

	// Of a Type 3 font, 9.6.5.
	dict   pdfobj.Dict
	glyphs map[byte]pdfobj.Name
	procs  pdfobj.Dict
	matrix Matrix
}

func fontOf(s *scan, o pdfobj.Object) *fontUse {
	ref, isRef := o.(pdfobj.Ref)
	if u := s.fonts[ref]; isRef && u != nil {
		return u
	}
	d := s.doc.Dict(o)
	if d == nil {
		return nil
	}
	u := &fontUse{dict: d, matrix: Matrix{.001, 0, 0, .001, 0, 0}, invisible: true}
	u.Ref = ref
	u.Name = NameText(string(s.doc.Name(d["BaseFont"])))
	if tag, rest, ok := strings.Cut(u.Name, "+"); ok && len(tag) == 6 {
		u.Name, u.Subset = rest, true
	}
	u.Type = NameText(string(s.doc.Name(d["Subtype"])))
	holder := d
	switch u.Type {
	case "Type3":
		u.Embedded = true
		readType3(s, u)
	case "Type0":
		holder = s.doc.Dict(at0(s.doc.Array(d["DescendantFonts"])))
		u.Type += " " + NameText(string(s.doc.Name(holder["Subtype"])))
	}
	descriptor := s.doc.Dict(holder["FontDescriptor"])
	for _, key := range []pdfobj.Name{"FontFile", "FontFile2", "FontFile3"} {
		if stream := s.doc.Stream(descriptor[key]); stream != nil {
			u.Embedded, u.file = true, stream
			s.checkFilters(stream, "font "+u.Name)
		}
	}
	if u.Name == "" {
		u.Name = NameText(string(s.doc.Name(descriptor["FontName"])))
	}
	if isRef {
		s.fonts[ref] = u
	}
	s.fontList = append(s.fontList, u)
	return u
}

func readType3(s *scan, u *fontUse) {
	u.Name = NameText(string(s.doc.Name(u.dict["Name"])))
	u.glyphs = map[byte]pdfobj.Name{}
	u.procs = s.doc.Dict(u.dict["CharProcs"])
	if m, ok := s.doc.Numbers(u.dict["FontMatrix"]); ok && len(m) >= 6 && Matrix(m[:6]).finite() {
		u.matrix = Matrix(m[:6])
	}
	code := 0
	for _, o := range s.doc.Array(s.doc.Dict(u.dict["Encoding"])["Differences"]) {
		if n, ok := s.doc.Int(o); ok {
			code = int(min(max(n, 0), 256))
		} else if code < 256 {
			u.glyphs[byte(code)] = s.doc.Name(o)
			code++
		}
	}
}

func usedFonts(s *scan) (list []Font) {
	for _, u := range s.fontList {
		if u.used {
			list = append(list, u.Font)
		}
	}
	return list
}

func checkFonts(s *scan) {
	for _, u := range s.fontList {
		if u.used && !u.Embedded && !u.invisible {
			s.found.add(FontMissing, objectName(u.Ref), "font %s is not embedded; the RIP will take another", u.Name)
		}
	}
}
