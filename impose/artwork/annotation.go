package artwork

import (
	"slices"
	"strings"

	"quoin/impose/pdfobj"
)

// Appearance is the picture of an annotation that prints. To show it, paint
// Form after the page's content under Matrix, in the page's space (12.5.5).
type Appearance struct {
	Subtype string
	Form    pdfobj.Ref    // the appearance stream
	Matrix  Matrix        // the A of 12.5.5: the form's own Matrix comes before it
	OC      pdfobj.Object // its optional content; nil if none
	Bounds  Rect          // in the page's space
}

// The flags of 12.5.3 that decide whether an annotation prints.
const (
	flagHidden   = 1 << 1
	flagPrint    = 1 << 2
	flagNoRotate = 1 << 4
)

// maxAnnotations bounds those of one page.
const maxAnnotations = 10_000

// drawn are the kinds of annotations that programs draw by themselves when
// they have no appearance (12.5.6).
var drawn = map[string]bool{
	"Square": true, "Circle": true, "Line": true, "Polygon": true, "PolyLine": true, "Ink": true, "FreeText": true, "Text": true,
	"Highlight": true, "Underline": true, "Squiggly": true, "StrikeOut": true, "Stamp": true, "Caret": true, "FileAttachment": true,
}

// walkAnnotations finds and walks the appearances that print. What a viewer prints
// without one, or prints otherwise, is a fault: it would be missing.
func walkAnnotations(s *scan) {
	fresh, _ := s.doc.Bool(s.doc.Dict(s.doc.Catalog()["AcroForm"])["NeedAppearances"])
	var bare, fields, stale, screen unseen
	list := s.doc.Array(s.page.Dict["Annots"])
	if len(list) > maxAnnotations {
		s.found.page(AnnotationBare, "the page has %d annotations; no more than %d are looked at", len(list), maxAnnotations)
	}
	for _, o := range list[:min(len(list), maxAnnotations)] {
		d := s.doc.Dict(o)
		flags, _ := s.doc.Int(d["F"])
		if d == nil || flags&flagHidden != 0 || s.doc.Name(d["Subtype"]) == "Popup" {
			continue
		}
		a, stream := appearanceOf(s, d)
		if !a.Bounds.meets(s.area) {
			continue
		}
		f := fieldOf(s, d)
		m := s.enter(d["OC"])
		switch {
		case s.hidden > 0 && stream == nil:
		case flags&flagPrint == 0:
			if a.Subtype == "Widget" && (stream != nil && textsShown(s, stream) != "" || stream == nil && f.drawn() != "") {
				screen.add(o, "%q at %s", f.name(), place(a.Bounds))
			}
		case stream == nil && a.Subtype == "Widget":
			if what := f.drawn(); what != "" && noPicture(s, d) {
				fields.add(o, "%q at %s (%s)", f.name(), place(a.Bounds), what)
			}
		case stream == nil:
			if noPicture(s, d) && drawn[a.Subtype] {
				bare.add(o, "%s at %s", a.Subtype, place(a.Bounds))
			}
		case fresh && a.Subtype == "Widget" && s.hidden == 0 && f.stale(stream):
			stale.add(o, "%q at %s", f.name(), place(a.Bounds))
			fallthrough
		default:
			if s.hidden == 0 {
				s.page.Appearances = append(s.page.Appearances, a)
			}
			p := &painter{scan: s, scope: newScope(nil, s.root), g: s.initialState(a.Matrix), base: a.Matrix, path: nothing}
			p.form(stream, "an annotation")
		}
		s.leave(m)
	}
	tellAnnotations(s, &bare, &fields, &stale, &screen)
}

// noPicture reports whether an annotation has no appearance at all; one whose
// state has none shows nothing in that state.
func noPicture(s *scan, d pdfobj.Dict) bool {
	normal := s.doc.Dict(d["AP"])["N"]
	return s.doc.Stream(normal) == nil && len(s.doc.Dict(normal)) == 0
}

func tellAnnotations(s *scan, bare, fields, stale, screen *unseen) {
	if len(bare.list) > 0 {
		s.found.add(AnnotationBare, bare.object, "annotations have no picture of their own; viewers draw and print one, and it would be missing: %s", bare)
	}
	if len(fields.list) > 0 {
		s.found.add(FieldBare, fields.object, "form fields have no picture of their own; viewers draw and print one, and it would be missing: %s", fields)
	}
	if len(stale.list) > 0 {
		s.found.add(FieldStale, stale.object, "form fields ask to be drawn anew (NeedAppearances), and what viewers print may not be what their pictures show: %s", stale)
	}
	if len(screen.list) > 0 {
		s.found.add(FieldOnScreen, screen.object, "form fields show on screen but are not to print, and are not placed: %s", screen)
	}
	checkXFA(s)
	if n := len(s.page.Appearances); n > 0 {
		s.found.page(AnnotationPrints, "annotations print and are placed with the page: %d, of the kind %s", n, annotationKinds(s))
	}
}

// annotationKinds names the kinds of the annotations that print, each once.
func annotationKinds(s *scan) string {
	var kinds []string
	for _, a := range s.page.Appearances {
		if !slices.Contains(kinds, a.Subtype) {
			kinds = append(kinds, a.Subtype)
		}
	}
	return strings.Join(kinds, ", ")
}

// appearanceOf returns the normal appearance, 12.5.5, and how it is placed; no
// stream if there is none that can be.
func appearanceOf(s *scan, d pdfobj.Dict) (a Appearance, stream *pdfobj.Stream) {
	a.Subtype = s.doc.Name(d["Subtype"]).Text()
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
	if flags, _ := s.doc.Int(d["F"]); flags&flagNoRotate != 0 && s.page.Rotate != 0 {
		a.Matrix = a.Matrix.Then(upright(a.Bounds, s.page.Rotate))
		a.Bounds = upright(a.Bounds, s.page.Rotate).Bounds(a.Bounds)
	}
	if !a.Matrix.finite() || !own.finite() {
		return a, nil
	}
	a.Form = stream.Ref
	return a, stream
}

// upright turns what must not turn with its page against the page's rotation,
// about its upper left corner, which stays (Table 165, NoRotate). NoZoom asks
// for nothing more: a press prints at 100 %.
func upright(r Rect, rotate int) Matrix {
	turn := map[int]Matrix{90: {0, 1, -1, 0}, 180: {-1, 0, 0, -1}, 270: {0, -1, 1, 0}}[rotate]
	return Matrix{1, 0, 0, 1, -r[0], -r[3]}.Then(turn).Then(Matrix{1, 0, 0, 1, r[0], r[3]})
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
