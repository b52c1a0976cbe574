package night

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"quoin/impose/say"
)

// Glance gives the night in one line.
func (p *Plan) Glance() string {
	t := p.Total
	line := fmt.Sprintf("%s in %s: %s m of web, %s min", say.Count(t.Orders, "order"), say.Count(t.Runs, "run"), say.Fixed(t.WebM, 1), say.Fixed(t.PressMin, 1))
	if t.Runs > 0 {
		line += ", " + p.quality()
	}
	if p.Alone.SavedWebM > 0 {
		line += fmt.Sprintf("; %s m (%.1f %%) less than every order alone", say.Fixed(p.Alone.SavedWebM, 1), p.Alone.SavedWebPercent)
	}
	if n := p.LeftOut(); n > 0 {
		line += "; " + say.Count(n, "order") + " left out"
	}
	if p.Night != "" {
		line = p.Night + ": " + line
	}
	return line
}

// quality says how good the plan is known to be.
func (p *Plan) quality() string {
	of := ""
	if p.ProvedFor != "" {
		of = " for " + p.ProvedFor
	}
	if p.Proved {
		return "proved best" + of
	}
	return fmt.Sprintf("at most %.2f %% above the best%s", p.GapPercent, of)
}

// LeaveOut puts notes of orders that never reached the planner before the
// others.
func (p *Plan) LeaveOut(notes []Note) {
	p.Unplanned = append(append([]Note{}, notes...), p.Unplanned...)
	if len(notes) > 0 { // the file lists orders, though none that can be taken
		p.Notes = slices.DeleteFunc(p.Notes, func(n Note) bool { return n.Code == NoOrders })
	}
}

// Tell puts words about the order file before the other notes.
func (p *Plan) Tell(words []Note) {
	p.Notes = append(append([]Note{}, words...), p.Notes...)
}

// LeftOut counts the orders in Unplanned, each once.
func (p *Plan) LeftOut() int {
	seen := map[string]bool{}
	unnamed := 0
	for _, n := range p.Unplanned {
		if n.Order == "" {
			unnamed++
		}
		seen[n.Order] = true
	}
	delete(seen, "")
	return len(seen) + unnamed
}

// Text prints the plan for people, the glance line first.
func (p *Plan) Text(w io.Writer) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s\n\n", p.Glance())
	p.textTotals(b)
	for i := range p.Runs {
		p.textRun(b, &p.Runs[i])
	}
	textNotes(b, "Left out", p.Unplanned)
	textNotes(b, "For a later night", p.Later)
	textNotes(b, "Notes", p.Notes)
	p.textCompare(b)
	p.textCurve(b)
	_, err := io.WriteString(w, b.String())
	return err
}

func (p *Plan) textTotals(b *strings.Builder) {
	t, a := p.Total, p.Alone
	row := func(name, text string, args ...any) { say.Row(b, 11, name, text, args...) }
	row("Web", "%s net, %s run waste, %s make-ready: %s", say.Metres(t.WebNetM), say.Metres(t.RunWasteM), say.Metres(t.SetupM), say.Metres(t.WebM))
	finish := ""
	if t.FinishMin > 0 {
		finish = fmt.Sprintf(", %s at the finishing line", say.Digits(t.FinishMin))
	}
	row("Minutes", "%s on the press%s", say.Digits(t.PressMin), finish)
	row("Labels", "%s ordered, %s made, %s over%s", say.Number(t.Ordered), say.Number(t.Labels), say.Number(t.Overs), scrap(t.Scrap))
	row("Bound", "no plan of these groups takes less than %s, %s min or %s", say.Metres(p.Bound.WebM), say.Digits(p.Bound.PressMin), say.Count(p.Bound.Runs, "run"))
	row("Alone", "every order for itself: %s, %s, %s min", say.Count(a.Runs, "run"), say.Metres(a.WebM), say.Digits(a.PressMin))
	b.WriteString("\n")
}

func scrap(n int64) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(", of them %s scrap", say.Number(n))
}

func (p *Plan) textRun(b *strings.Builder, run *Run) {
	fmt.Fprintf(b, "%s  %s, %s net, %s in all, %s min; %s%s\n", say.Title(run.Name), say.Count(run.Frames, "frame"),
		say.Metres(run.WebM), say.Metres(run.WebGrossM), say.Digits(run.PressMin), p.what(run), blank(run))
	for _, s := range run.Orders {
		place := say.Count(s.Lanes, "lane")
		if s.Lanes == 0 {
			place = say.Count(s.Stations, "station")
		}
		fmt.Fprintf(b, "    %-12s %-11s %9s labels, %s over%s%s%s%s\n", s.Order, place, say.Number(s.Labels), say.Number(s.Overs),
			scrap(s.Scrap), split(s), sized(s), product(s.Product))
	}
	for _, w := range run.Warnings {
		fmt.Fprintf(b, "    look at: %s\n", w.Text)
	}
}

// what says what a run is printed on, and with.
func (p *Plan) what(run *Run) string {
	g := p.Groups[run.Group-1]
	var parts []string
	if g.Material != "" {
		parts = append(parts, g.Material)
	}
	if g.Die != "" {
		parts = append(parts, "die "+g.Die)
	}
	sizes := run.labels()
	if len(sizes) == 0 {
		sizes = [][2]float64{g.LabelMM}
	}
	for _, s := range sizes {
		parts = append(parts, say.Pair(s[0], s[1]))
	}
	if g.TurnDeg != 0 {
		parts = append(parts, fmt.Sprintf("turned %d degrees", g.TurnDeg))
	}
	if n := len(g.Inks); n > 0 {
		parts = append(parts, say.Count(n, "ink"))
	}
	if run.Due != "" {
		parts = append(parts, "due "+run.Due)
	}
	return strings.Join(parts, ", ")
}

func blank(run *Run) string {
	switch {
	case run.BandLeftMM > 0:
		return fmt.Sprintf(", %s of the band blank", say.MM(run.BandLeftMM))
	case run.BlankLanes > 0:
		return ", " + say.Count(run.BlankLanes, "blank lane")
	case run.BlankPlaces > 0:
		return ", " + say.Count(run.BlankPlaces, "blank station")
	}
	return ""
}

func split(s Share) string {
	if text := s.rest(); text != "" {
		return ", " + text
	}
	return ""
}

func product(name string) string {
	if name == "" {
		return ""
	}
	return "  " + name
}

func (p *Plan) textCurve(b *strings.Builder) {
	for _, c := range p.Curve {
		fmt.Fprintf(b, "\nRuns against metres, group %d:\n", c.Group)
		for _, pt := range c.Points {
			mark := ""
			if pt.Chosen {
				mark = "  chosen"
			}
			fmt.Fprintf(b, "    %3d  %11s m net %11s m in all  %s%s\n", pt.Runs, say.Fixed(pt.WebNetM, 3), say.Fixed(pt.WebM, 3), gap(pt.Proved, pt.GapPercent), mark)
		}
	}
}

func gap(proved bool, percent float64) string {
	if proved {
		return "proved"
	}
	return fmt.Sprintf("%.2f", percent)
}
