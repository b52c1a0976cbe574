package artwork

import (
	"fmt"
	"slices"
	"strings"

	"quoin/impose/pdfobj"
)

// field is a form field's widget, 12.5.6.19 and 12.7.3: what viewers know of it
// to draw it by themselves.
type field struct {
	scan   *scan
	widget pdfobj.Dict
	kind   pdfobj.Name // FT
	flags  int64       // Ff
}

// The flags of 12.7.4.2 and 12.7.4.3 that decide what is drawn.
const (
	fieldPassword = 1 << 13
	fieldPush     = 1 << 16
	fieldCombo    = 1 << 17
)

// maxAncestors bounds the way up from a field.
const maxAncestors = 64

func fieldOf(s *scan, widget pdfobj.Dict) field {
	f := field{scan: s, widget: widget}
	f.kind = s.doc.Name(f.inherited("FT"))
	f.flags, _ = s.doc.Int(f.inherited("Ff"))
	return f
}

// inherited returns a field's entry, its own or the nearest of those above.
func (f field) inherited(key pdfobj.Name) pdfobj.Object {
	at := f.widget
	for range maxAncestors {
		if at == nil || at[key] != nil {
			break
		}
		at = f.scan.doc.Dict(at["Parent"])
	}
	return at[key]
}

// name returns the fully qualified name, 12.7.3.2.
func (f field) name() string {
	var parts []string
	at := f.widget
	for range maxAncestors {
		if at == nil {
			break
		}
		if part := pdfobj.Text(f.scan.doc, at["T"]); part != "" {
			parts = append(parts, part)
		}
		at = f.scan.doc.Dict(at["Parent"])
	}
	slices.Reverse(parts)
	return strings.Join(parts, ".")
}

// value returns the texts of the field's value, as a viewer shows them: of a
// choice, what its options show in place of what they export.
func (f field) value() []string {
	doc := f.scan.doc
	var texts []string
	add := func(o pdfobj.Object) {
		switch v := f.scan.resolved(o).(type) {
		case pdfobj.String:
			texts = append(texts, f.shownAs(pdfobj.Text(doc, v)))
		case *pdfobj.Stream: // 12.7.3.4: long text may stand in a stream
			texts = append(texts, "text in a stream")
		}
	}
	v := f.inherited("V")
	for _, o := range doc.Array(v) {
		add(o)
	}
	add(v)
	return slices.DeleteFunc(texts, func(t string) bool { return t == "" })
}

func (f field) shownAs(value string) string {
	if f.kind != "Ch" {
		return value
	}
	for _, o := range f.scan.doc.Array(f.inherited("Opt")) {
		if pair := f.scan.doc.Array(o); len(pair) == 2 && pdfobj.Text(f.scan.doc, pair[0]) == value {
			return pdfobj.Text(f.scan.doc, pair[1])
		}
	}
	return value
}

// on reports whether a check box or radio button is on.
func (f field) on() bool {
	state := f.scan.doc.Name(f.widget["AS"])
	if f.widget["AS"] == nil {
		state = f.scan.doc.Name(f.inherited("V"))
	}
	return state != "" && state != "Off"
}

// drawn says what a viewer draws of a widget that has no appearance: "" for
// nothing. Signatures have none to draw.
func (f field) drawn() string {
	doc := f.scan.doc
	look := doc.Dict(f.widget["MK"])
	switch f.kind {
	case "Tx", "Ch":
		if len(f.value()) > 0 {
			return "its value"
		}
		if f.kind == "Ch" && f.flags&fieldCombo == 0 && len(doc.Array(f.inherited("Opt"))) > 0 {
			return "its list"
		}
	case "Btn":
		if f.flags&fieldPush == 0 && f.on() {
			return "its tick"
		}
		if f.flags&fieldPush != 0 && (pdfobj.Text(doc, look["CA"]) != "" || doc.Stream(look["I"]) != nil) {
			return "its caption"
		}
	}
	if len(doc.Array(look["BG"])) > 0 || len(doc.Array(look["BC"])) > 0 {
		return "its box"
	}
	return ""
}

// stale reports whether a viewer that draws all fields anew, as NeedAppearances
// asks (12.7.2), may show something else than the appearance does. What can't
// be read counts as something else.
func (f field) stale(appearance *pdfobj.Stream) bool {
	doc := f.scan.doc
	switch f.kind {
	case "Tx", "Ch":
		if f.kind == "Ch" && f.flags&fieldCombo == 0 {
			return len(f.value()) > 0 // which lines of a list show, only a viewer knows
		}
		shows := textsShown(f.scan, appearance)
		if f.flags&fieldPassword != 0 {
			return shows != ""
		}
		return squeezed(shows) != squeezed(strings.Join(f.value(), ""))
	case "Btn":
		if f.flags&fieldPush != 0 {
			return false
		}
		value, state := doc.Name(f.inherited("V")), doc.Name(f.widget["AS"])
		states := doc.Dict(doc.Dict(f.widget["AP"])["N"])
		return value != "" && value != "Off" && value != state && states[value] != nil ||
			(value == "Off" || value == "") && state != "Off" && state != ""
	}
	return false
}

// textsShown returns the strings that a stream shows, in painting order and read as
// Latin-1, which is what fields of simple fonts have.
func textsShown(s *scan, stream *pdfobj.Stream) string {
	var b strings.Builder
	add := func(o pdfobj.Object) {
		if t, ok := o.(pdfobj.String); ok {
			b.WriteString(pdfobj.Text(s.doc, t))
		}
	}
	c := pdfobj.NewContentScanner(s.decoded(stream))
	for s.err == nil && b.Len() < maxFieldText && c.Next() {
		op := c.Operation()
		switch op.Operator {
		case "Tj", "'", "\"":
			for _, o := range last(op.Operands, 1) {
				add(o)
			}
		case "TJ":
			for _, o := range last(op.Operands, 1) {
				list, _ := o.(pdfobj.Array)
				for _, part := range list {
					add(part)
				}
			}
		}
	}
	return b.String()
}

const maxFieldText = 1 << 20

// squeezed leaves out white space, which viewers break lines at.
func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }

// place says where an annotation stands, in the page's units.
func place(r Rect) string {
	return fmt.Sprintf("[%.6g %.6g %.6g %.6g]", r[0], r[1], r[2], r[3])
}

// unseen gathers what a viewer prints of a page's annotations and its form
// can't carry.
type unseen struct {
	list   []string
	object string // of the first
}

// maxNamed is how many annotations one finding names.
const maxNamed = 3

func (u *unseen) add(ref pdfobj.Object, format string, args ...any) {
	if len(u.list) == 0 {
		u.object = objectOf(ref)
	}
	u.list = append(u.list, fmt.Sprintf(format, args...))
}

func (u *unseen) String() string {
	if n := len(u.list) - maxNamed; n > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(u.list[:maxNamed], "; "), n)
	}
	return strings.Join(u.list, "; ")
}

// checkXFA looks for a form whose pages only an XFA program can draw (12.7.8):
// what such a file holds as pages is a notice to readers without one.
func checkXFA(s *scan) {
	catalog := s.doc.Catalog()
	xfa := s.doc.Dict(catalog["AcroForm"])["XFA"]
	if xfa == nil {
		return
	}
	dynamic, _ := s.doc.Bool(catalog["NeedsRendering"])
	if dynamic || dynamicXFA(s, xfa) {
		s.found.page(FormXFA, "the page is drawn from an XFA form by the few programs that know those; the PDF page itself is only a stand-in")
	}
}

// dynamicXFA reports whether the form's configuration asks for it to be laid out
// anew: dynamicRender of the XFA Specification 3.3, "config" grammar.
func dynamicXFA(s *scan, xfa pdfobj.Object) bool {
	parts := pdfobj.Array{xfa}
	if list := s.doc.Array(xfa); list != nil {
		parts = nil
		for i := 0; i+1 < len(list); i += 2 { // names and packets in turn
			if name, _ := s.doc.String(list[i]); string(name) == "config" {
				parts = append(parts, list[i+1])
			}
		}
	}
	for _, o := range parts {
		text, err := readAll(s.doc, s.doc.Stream(o), maxXFA)
		if at := strings.Index(text, "dynamicRender"); err == nil && at >= 0 {
			_, value, _ := strings.Cut(text[at:min(len(text), at+400)], ">")
			return strings.HasPrefix(strings.TrimSpace(value), "required")
		}
	}
	return false
}

const maxXFA = 16 << 20
