package artwork

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"quoin/impose/ink"
	"quoin/impose/say"
)

// Text prints the report for a person: one line that tells at a glance, then
// the particulars of each page.
func (r *Report) Text(w io.Writer) error {
	var b strings.Builder
	switch {
	case r.PageCount == 1 && len(r.Pages) == 1:
		fmt.Fprintf(&b, "%s: %s\n", r.File, r.Pages[0].glance())
	default:
		fmt.Fprintf(&b, "%s: %s, %s\n", r.File, say.Count(r.PageCount, "page"), say.Count(r.Warnings(), "warning"))
	}
	for i := range r.Pages {
		p := &r.Pages[i]
		b.WriteString("\n")
		if r.PageCount > 1 {
			fmt.Fprintf(&b, "Page %d: %s\n\n", p.Page, p.glance())
		}
		p.text(&b)
	}
	_, err := io.WriteString(w, strings.Map(printable, b.String()))
	return err
}

// printable keeps control characters in names from reaching a terminal.
func printable(r rune) rune {
	if unicode.IsControl(r) && r != '\n' {
		return utf8.RuneError
	}
	return r
}

// glance is the page in one line.
func (r *PageReport) glance() string {
	printing := 0
	for _, i := range r.Inks {
		if i.State == Used && i.Kind.Prints() {
			printing++
		}
	}
	line := fmt.Sprintf("%s, bleed %s, %s", size(r.TrimMM), r.BleedMM.least(), say.Count(printing, "printing ink"))
	if n := r.count(Fault); n > 0 {
		line += ", can't be placed: " + say.Count(n, "fault")
	}
	if n := r.count(Warning); n > 0 {
		line += ", " + say.Count(n, "warning")
	}
	return line
}

func (r *PageReport) text(b *strings.Builder) {
	row := func(name, text string) { fmt.Fprintf(b, "%-10s %s\n", name, text) }
	rows := func(name string, table [][]string) {
		var t say.Table
		for _, cells := range table {
			t.Add(cells...)
		}
		for _, line := range t.Lines() {
			row(name, line)
			name = ""
		}
	}
	row("Trim", size(r.TrimMM)+r.from("trim"))
	row("Bleed", r.BleedMM.String()+r.from("bleed"))
	row("Media", size(r.MediaMM)+r.turned())
	if r.DieLine != nil {
		row("Die line", r.DieLine.String())
	}
	rows("Intent", r.intentRows())
	rows("Inks", r.inkRows())
	if c := r.Coverage; c != nil {
		rows("Coverage", c.rows())
		c.text(row)
	}
	rows("Layers", r.layerRows())
	rows("Fonts", r.fontRows())
	rows("Images", r.imageRows())
	if uses := r.uses(); uses != "" {
		row("Uses", uses)
	}
	for _, level := range []Level{Fault, Warning, Notice} {
		name := say.Title(string(level))
		for _, f := range r.Findings {
			if f.Level != level {
				continue
			}
			text := f.Text
			if f.Object != "" {
				text += " (" + f.Object + ")"
			}
			row(name, text+" ["+f.Code+"]")
		}
	}
}

// from says where a box comes from when the file doesn't state it.
func (r *PageReport) from(box string) string {
	for _, b := range r.Boxes {
		if b.Box == box && !b.Given {
			return ", the file states no " + say.Title(box) + "Box"
		}
	}
	return ""
}

func (r *PageReport) turned() string {
	s := ""
	if r.RotationDeg != 0 {
		s += fmt.Sprintf(", turned %d degrees clockwise", r.RotationDeg)
	}
	if r.UserUnitPt != 1 {
		s += fmt.Sprintf(", in units of %s pt", say.Digits(r.UserUnitPt))
	}
	return s
}

func (r *PageReport) intentRows() [][]string {
	if r.Intent == nil {
		return [][]string{{"none"}}
	}
	line := []string{r.Intent.Condition}
	if r.Intent.Space != "" {
		line = append(line, fmt.Sprintf("profile of %s", r.Intent.Space))
	} else {
		line = append(line, "no profile")
	}
	return [][]string{line}
}

func (r *PageReport) inkRows() (table [][]string) {
	for _, i := range r.Inks {
		where := strings.Join(i.Where, ", ")
		switch i.State {
		case Outside:
			where += ", only beyond the bleed"
		case Hidden:
			where += ", only in layers that are off"
		case Blank:
			where = "set, but nothing is painted in it"
		case Present:
			if i.Kind == ink.Process {
				continue // a colour space may speak of inks that nobody needs
			}
			where = "never painted"
		}
		line := []string{i.Name, string(i.Kind), where}
		if i.Alternate != "" {
			line = append(line, "looks like "+i.Alternate)
		}
		table = append(table, line)
	}
	if len(table) == 0 {
		return [][]string{{"none"}}
	}
	return table
}

func (r *PageReport) layerRows() (table [][]string) {
	for _, l := range r.Layers {
		line := []string{l.Name, "on"}
		if !l.On {
			line[1] = "off"
		}
		if step := (Step{l.Group, l.Type}); !step.IsZero() {
			line = append(line, "processing step "+step.String())
		}
		table = append(table, line)
	}
	return table
}

func (r *PageReport) fontRows() (table [][]string) {
	for _, f := range r.Fonts {
		line := []string{orElse(f.Name, "unnamed"), f.Type, "embedded"}
		switch {
		case !f.Embedded:
			line[2] = "not embedded"
		case f.Subset:
			line[2] = "subset embedded"
		}
		table = append(table, line)
	}
	return table
}

// maxImageRows keeps a page of many slices from filling the screen; the JSON
// has them all.
const maxImageRows = 12

func (r *PageReport) imageRows() (table [][]string) {
	for n, i := range r.Images {
		if n == maxImageRows && len(r.Images) > maxImageRows+1 {
			return append(table, []string{fmt.Sprintf("and %d more", len(r.Images)-n)})
		}
		ppi := "unknown ppi"
		if i.PPI > 0 {
			ppi = fmt.Sprintf("%s ppi", say.Fixed(i.PPI, 0))
		}
		kind := i.Space
		if i.Mask {
			kind = "stencil"
		}
		table = append(table, []string{orElse(i.Name, "inline"), fmt.Sprintf("%d x %d px", i.WidthPx, i.HeightPx), ppi,
			fmt.Sprintf("%d bit", i.Bits), kind, i.Filter})
	}
	return table
}

func (r *PageReport) uses() string {
	var list []string
	if r.Transparency {
		list = append(list, "transparency")
	}
	if r.Overprint {
		list = append(list, "overprint")
	}
	if r.Annotations > 0 {
		list = append(list, say.Count(r.Annotations, "printing annotation"))
	}
	if g := r.Group; g != nil {
		group := "a page group"
		if g.Space != "" {
			group += " in " + g.Space
		}
		if g.Isolated {
			group += ", isolated"
		}
		if g.Knockout {
			group += ", knockout"
		}
		list = append(list, group)
	}
	return strings.Join(list, ", ")
}

// String says where the die line runs and what says so.
func (d *DieLineReport) String() string {
	text := size(d.SizeMM)
	if r := d.RadiusMM; r != nil && *r > 0 {
		text += ", corner radius " + say.MM(*r)
	} else if r == nil {
		text += fmt.Sprintf(", shaped, %s mm2", say.Digits(d.AreaMM2))
	}
	if d.AgreesTrim {
		text += ", agrees with the trim"
	} else {
		text += ", differs from the trim"
	}
	for _, part := range []struct {
		n    int
		noun string
		rest string
	}{
		{d.Inner, "contour", " inside it (holes, or another step)"}, {d.Apart, "separate contour", ""}, {d.Open, "open line", " left out"},
	} {
		if part.n > 0 {
			text += "; " + say.Count(part.n, part.noun) + part.rest
		}
	}
	by := &DieLine{Layers: d.Layers, Inks: d.Inks}
	if group, kind, ok := strings.Cut(d.Step, "/"); ok {
		by.Step = Step{group, kind}
	}
	return text + " (" + by.By() + ")"
}

// least returns the smallest bleed.
func (s SidesReport) least() string {
	return say.MM(min(s.Left, s.Right, s.Top, s.Bottom))
}

func (s SidesReport) String() string {
	if s.Left == s.Right && s.Right == s.Top && s.Top == s.Bottom {
		return say.MM(s.Left) + " on every side"
	}
	return fmt.Sprintf("left %s, right %s, top %s, bottom %s mm", say.Digits(s.Left), say.Digits(s.Right), say.Digits(s.Top), say.Digits(s.Bottom))
}

func size(mm [2]float64) string { return say.Pair(mm[0], mm[1]) }

func orElse(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}
