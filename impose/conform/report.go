package conform

import (
	"context"
	"fmt"
	"io"
	"slices"

	"quoin/impose/artwork"
	"quoin/impose/pdfobj"
)

// List names what a file is checked against.
const List = "PDF/X-4, checked against our list"

// Report is what a check of a file found.
type Report struct {
	List     string   `json:"list"`
	Holds    bool     `json:"holds"`   // no breach
	Claimed  bool     `json:"claimed"` // the file carries the marker
	Rules    []Held   `json:"rules"`
	Breaches []Breach `json:"breaches"`
}

// Held is a rule and whether the file keeps it.
type Held struct {
	Rule
	Holds bool `json:"holds"`
}

// File checks every rule on a whole file. Its errors are those of
// artwork.Open.
func File(ctx context.Context, path string) (*Report, error) { return check(ctx, path, false) }

// Claim checks a file as File does where it carries a marker or is said to, and
// returns nil where nobody says so.
func Claim(ctx context.Context, path, marker string) (*Report, error) {
	return check(ctx, path, marker == "")
}

func check(ctx context.Context, path string, claimed bool) (*Report, error) {
	f, err := artwork.Open(path, artwork.Options{PDF: pdfobj.Limits{Context: ctx}, Placeless: true})
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := &Report{List: List, Breaches: []Breach{}}
	r.add(document(f.Doc)...)
	r.Claimed = !slices.ContainsFunc(r.Breaches, func(b Breach) bool { return b.Rule == Marker })
	if claimed && !r.Claimed {
		return nil, nil
	}
	space, breaches := intents(f.Doc)
	r.add(breaches...)
	for n := 1; n <= f.Pages(); n++ {
		p, err := f.Page(n)
		if err != nil {
			return nil, err
		}
		r.add(boxes(p)...)
		r.add(Content(p, space)...)
	}
	r.Holds = len(r.Breaches) == 0
	broken := map[string]bool{}
	for _, b := range r.Breaches {
		broken[b.Rule] = true
	}
	for _, rule := range Rules {
		r.Rules = append(r.Rules, Held{rule, !broken[rule.Name]})
	}
	return r, nil
}

// Against returns the breaches that count: all of them where the file is said to
// carry a marker, be it by its summary or by itself, and none where nobody says
// so. A file that has lost its metadata thus breaks its summary's word.
func (r *Report) Against(marker string) []Breach {
	if r == nil || marker == "" && !r.Claimed {
		return nil
	}
	return r.Breaches
}

// maxBreaches bounds the list: a file with more has said enough.
const maxBreaches = 200

func (r *Report) add(list ...Breach) {
	r.Breaches = append(r.Breaches, list[:min(len(list), max(0, maxBreaches-len(r.Breaches)))]...)
}

// boxes checks the geometry of a page and what lies on it for viewers.
func boxes(p *artwork.Page) (list []Breach) {
	breach := func(rule, format string, args ...any) {
		list = append(list, Breach{Rule: rule, Text: fmt.Sprintf(format, args...), Page: p.Number})
	}
	given, b := p.Boxes.Given, p.Boxes
	switch {
	case !given.Media:
		breach(Boxes, "there is no MediaBox")
	case given.Trim && given.Art:
		breach(Boxes, "there are both TrimBox and ArtBox")
	case !given.Trim && !given.Art:
		breach(Boxes, "there is neither TrimBox nor ArtBox")
	}
	for _, f := range p.Findings {
		switch f.Code {
		case artwork.BoxInvalid, artwork.BoxOutside, artwork.BleedInsideTrim:
			breach(Boxes, "%s", f.Text)
		}
	}
	for _, side := range []float64{b.Media.Width(), b.Media.Height()} {
		if side < 3 || side > 14_400 {
			breach(Size, "a side is %g units long", side)
		}
	}
	for _, o := range p.Doc.Array(p.Dict["Annots"]) {
		d := p.Doc.Dict(o)
		kind := p.Doc.Name(d["Subtype"])
		rect, ok := p.Doc.Numbers(d["Rect"])
		if d == nil || kind == "TrapNet" || kind == "PrinterMark" || !ok || len(rect) < 4 {
			continue
		}
		r := artwork.Rect{min(rect[0], rect[2]), min(rect[1], rect[3]), max(rect[0], rect[2]), max(rect[1], rect[3])}
		if !r.Intersect(b.Bleed).Empty() {
			breach(Interaction, "an annotation (%s) lies within the bleed", kind)
		}
	}
	if p.Dict["AA"] != nil {
		breach(Interaction, "the page has actions")
	}
	return list
}

// Text prints the report for a person.
func (r *Report) Text(w io.Writer) error {
	verdict := "every rule holds"
	if !r.Holds {
		verdict = "broken"
	}
	_, err := fmt.Fprintf(w, "%s: %s\n", r.List, verdict)
	for _, b := range r.Breaches {
		where := ""
		if b.Page > 0 {
			where = fmt.Sprintf("page %d", b.Page)
		}
		if b.Object != "" && where != "" {
			where += ", "
		}
		if where += b.Object; where != "" {
			where = " (" + where + ")"
		}
		if err == nil {
			_, err = fmt.Fprintf(w, "breaks %s: %s%s\n", b.Rule, b.Text, where)
		}
	}
	return err
}
