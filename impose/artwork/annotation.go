package artwork

import (
	"slices"
	"strings"

	"quoin/impose/pdfobj"
)

// Appearance is the picture of an annotation that prints. To show it, paint
// Form after the page's content under Matrix, in the page's space (12.5.5).
type Appearance struct {
	Annotation pdfobj.Ref // zero if it is no object of its own
	Subtype    string
	Form       pdfobj.Ref    // the appearance stream
	Matrix     Matrix        // the A of 12.5.5: the form's own Matrix comes before it
	OC         pdfobj.Object // its optional content; nil if none
	Bounds     Rect          // in the page's space
}

// The flags of 12.5.3 that decide whether an annotation prints.
const (
	flagHidden = 1 << 1
	flagPrint  = 1 << 2
)

// maxAnnotations bounds those of one page.
const maxAnnotations = 10_000

// drawn are the kinds of annotations that programs draw by themselves when
// they have no appearance (12.5.6).
var drawn = map[string]bool{
	"Square": true, "Circle": true, "Line": true, "Polygon": true, "PolyLine": true, "Ink": true, "FreeText": true, "Text": true,
	"Highlight": true, "Underline": true, "Squiggly": true, "StrikeOut": true, "Stamp": true, "Caret": true, "FileAttachment": true,
}

// annotations finds and walks the appearances that print.
func (s *scan) annotations() {
	var bare []string
	list := s.doc.Array(s.page.Dict["Annots"])
	for _, o := range list[:min(len(list), maxAnnotations)] {
		d := s.doc.Dict(o)
		flags, _ := s.doc.Int(d["F"])
		if d == nil || flags&flagPrint == 0 || flags&flagHidden != 0 || s.doc.Name(d["Subtype"]) == "Popup" {
			continue
		}
		a, stream := s.appearance(d)
		if !a.Bounds.meets(s.area) {
			continue
		}
		if stream == nil {
			if d["AP"] == nil && drawn[a.Subtype] && !slices.Contains(bare, a.Subtype) {
				bare = append(bare, a.Subtype)
			}
			continue
		}
		a.Annotation, _ = o.(pdfobj.Ref)
		m := s.enter(d["OC"])
		if s.hidden == 0 {
			s.page.Appearances = append(s.page.Appearances, a)
		}
		p := &painter{scan: s, scope: newScope(nil, nil), g: s.initialState(a.Matrix), base: a.Matrix, path: nothing}
		p.form(stream, "an annotation")
		s.leave(m)
	}
	if len(bare) > 0 {
		s.found.page(AnnotationBare, "annotations of the kind %s have no picture of their own; some programs draw one and print it, but it is not placed", strings.Join(bare, ", "))
	}
	if n := len(s.page.Appearances); n > 0 {
		s.found.page(AnnotationPrints, "annotations print and are placed with the page: %d, of the kind %s", n, s.subtypes())
	}
}

// subtypes names the kinds of the annotations that print, each once.
func (s *scan) subtypes() string {
	var kinds []string
	for _, a := range s.page.Appearances {
		if !slices.Contains(kinds, a.Subtype) {
			kinds = append(kinds, a.Subtype)
		}
	}
	return strings.Join(kinds, ", ")
}

// appearance gives the normal appearance, 12.5.5, and how it is placed; no
// stream if there is none that can be.
func (s *scan) appearance(d pdfobj.Dict) (a Appearance, stream *pdfobj.Stream) {
	a.Subtype = NameText(string(s.doc.Name(d["Subtype"])))
	a.OC = d["OC"]
	a.Bounds = nothing
	if rect, ok := s.doc.Numbers(d["Rect"]); ok && len(rect) >= 4 {
		a.Bounds = Rect{min(rect[0], rect[2]), min(rect[1], rect[3]), max(rect[0], rect[2]), max(rect[1], rect[3])}
	}
	normal := s.doc.Dict(d["AP"])["N"]
	if stream = s.doc.Stream(normal); stream == nil {
		normal = s.doc.Dict(normal)[s.doc.Name(d["AS"])]
		stream = s.doc.Stream(normal)
	}
	if stream == nil {
		return a, nil
	}
	box, ok := s.doc.Numbers(stream.Dict["BBox"])
	if !ok || len(box) < 4 {
		return a, nil
	}
	own := identity
	if m, ok := s.doc.Numbers(stream.Dict["Matrix"]); ok && len(m) >= 6 {
		own = Matrix(m[:6])
	}
	a.Matrix = fit(own.Bounds(Rect(box[:4])), a.Bounds)
	if !a.Matrix.finite() || !own.finite() {
		return a, nil
	}
	a.Form = stream.Ref
	return a, stream
}

// fit maps one rectangle onto another; a side without extent is only moved.
func fit(from, to Rect) Matrix {
	m := identity
	if from.Width() > 0 {
		m[0] = to.Width() / from.Width()
	}
	if from.Height() > 0 {
		m[3] = to.Height() / from.Height()
	}
	m[4], m[5] = to[0]-from[0]*m[0], to[1]-from[1]*m[3]
	return m
}
