package fit

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/impose/say"
)

// Text prints the report for a person: a glance line, then tables of at most
// Columns characters.
func (r *Report) Text(w io.Writer) error {
	var b strings.Builder
	wrapped(&b, "", r.glance())
	for _, w := range r.Warnings {
		wrapped(&b, "  ", "warning: "+w.Text)
	}
	for _, n := range r.Notes {
		wrapped(&b, "  ", n.Text)
	}
	what := "dies that fit"
	if r.Dies == nil {
		what = "straight layouts"
	}
	r.section(&b, what, r.fitting(r.Layouts))
	r.nested(&b)
	r.misses(&b)
	r.section(&b, "new tools, full-rotary", r.fitting(r.Tools))
	r.section(&b, "new tools, semi-rotary and flat-bed", r.fitting(r.Flat))
	r.section(&b, "webs in stock, straight layouts", r.fitting(r.Webs))
	r.least(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// Columns is how wide a table may be: a terminal beside an editor.
const Columns = 100

func (r *Report) glance() string {
	label := say.Pair(r.LabelMM[0], r.LabelMM[1])
	if r.Quantity > 0 {
		label = say.Number(r.Quantity) + " of " + label
	}
	found := ""
	if d := r.Dies; d != nil {
		found = fmt.Sprintf(" %d of %d dies fit;", d.Fit, d.Total)
	}
	l := r.Best()
	if l == nil {
		return label + ":" + strings.TrimSuffix(found+" nothing fits;", ";")
	}
	per := say.Where(r.Quantity == 0, " for each 1,000")
	name := "best"
	if l.Die != "" {
		name = "best " + l.Die
	}
	return fmt.Sprintf("%s:%s %s is %d x %d = %d labels on %s mm, %s m of web%s",
		label, found, name, l.Across, l.Around, l.Labels, say.Digits(l.RepeatMM), say.Amount(l.WebGrossM), per)
}

func (r *Report) fitting(all []Layout) []Layout {
	var out []Layout
	for _, l := range all {
		if l.Fits {
			out = append(out, l)
		}
	}
	return out
}

// section prints a table and its warnings below it.
func (r *Report) section(b *strings.Builder, title string, layouts []Layout) {
	if len(layouts) == 0 {
		return
	}
	t := table{
		head:  []string{"", "web", "turn", "grid", "repeat", "gaps", "yield", "waste", "length"},
		units: []string{"", "mm", "deg", "", "mm", "mm", "%", "%", "m"},
	}
	minutes, money := layouts[0].PressMin > 0, r.Currency != ""
	if money {
		t.addColumn("cost", r.Currency)
	} else {
		t.addColumn("area", "m2")
	}
	if minutes {
		t.addColumn("press", "min")
	}
	fmt.Fprintf(b, "\n%s\n", title)
	for i := range layouts {
		l := &layouts[i]
		row := []string{
			"  " + l.Name(), say.Digits(l.WebMM), strconv.Itoa(l.TurnDeg), fmt.Sprintf("%d x %d", l.Across, l.Around),
			say.Digits(l.RepeatMM), say.Digits(l.GapAcrossMM) + " x " + say.Digits(l.GapAroundMM),
			say.Fixed(l.YieldPercent, 1), say.Fixed(l.MatrixPercent+l.EdgePercent+l.TailPercent, 1), say.Amount(l.WebGrossM),
		}
		if money {
			row = append(row, say.Amount(l.Cost))
		} else {
			row = append(row, say.Amount(l.WebM2))
		}
		if minutes {
			row = append(row, say.Amount(l.PressMin))
		}
		t.rows = append(t.rows, row)
	}
	t.print(b)
	for i := range layouts {
		layouts[i].strokes(b)
	}
	warnings(b, layouts)
}

// strokes says how a laser cuts a frame that is longer than its field; of a die
// its record says as much.
func (l *Layout) strokes(b *strings.Builder) {
	if l.Station == string(geometry.Laser) && l.Strokes > 1 {
		wrapped(b, "  ", fmt.Sprintf("%s: each frame is cut in %d strokes of %s", l.Name(), l.Strokes, say.CountOf(l.Around/l.Strokes, "row", "rows")))
	}
}

// warnings prints each warning once, with the names of all it concerns.
func warnings(b *strings.Builder, layouts []Layout) {
	var texts []string
	names := map[string][]string{}
	for i := range layouts {
		for _, w := range layouts[i].Warnings {
			if names[w.Text] == nil {
				texts = append(texts, w.Text)
			}
			if name := layouts[i].Name(); !slices.Contains(names[w.Text], name) {
				names[w.Text] = append(names[w.Text], name)
			}
		}
	}
	for _, text := range texts {
		wrapped(b, "  warning, ", strings.Join(names[text], ", ")+": "+text)
	}
}

// Name is what a person calls the layout by.
func (l *Layout) Name() string {
	switch {
	case l.Die != "":
		return l.Die
	case l.Station == string(geometry.FullRotary):
		teeth, _, _ := strings.Cut(l.Cylinder, " of ")
		return teeth
	case l.Station != "":
		return l.Station
	}
	return say.Digits(l.WebMM) + " mm web"
}

// misses tells of near misses, and of all else that was asked for.
func (r *Report) misses(b *strings.Builder) {
	near, others := "\nnear misses\n", "\nwhat doesn't fit\n"
	for _, l := range r.Layouts {
		if l.Fits {
			continue
		}
		if l.Near {
			b.WriteString(near)
			near = ""
		} else {
			b.WriteString(others)
			others = ""
		}
		name := l.Name()
		if l.Die == "" {
			name = fmt.Sprintf("turned to %d degrees", l.TurnDeg)
		}
		fmt.Fprintf(b, "  %s  (%s)\n", name, l.about())
		for _, reason := range l.Reasons {
			wrapped(b, "    - ", reason.Text)
			if reason.Nearest != "" {
				wrapped(b, "      ", reason.Nearest)
			}
		}
		if l.Near {
			wrapped(b, "    = ", fmt.Sprintf("it would be %d x %d on %s mm, %s m of web", l.Across, l.Around, say.Digits(l.RepeatMM), say.Amount(l.WebGrossM)))
		}
	}
	if d := r.Dies; d != nil {
		if rest := d.Total - len(r.Layouts); rest > 0 {
			fmt.Fprintf(b, "\n%s; --all lists them with their reasons\n", say.CountOf(rest, "other die doesn't fit", "other dies don't fit"))
		}
	}
}

// about describes a die that is not to be had in a table.
func (l *Layout) about() string {
	parts := []string{l.Size}
	if l.Across > 0 && l.Around > 0 {
		parts = append(parts, fmt.Sprintf("%d x %d", l.Across, l.Around))
	}
	for _, s := range []string{l.Station, l.Cylinder, l.Place} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, ", ")
}
