// Package report says what there is to say of a planned night: as text, as a
// page that needs nothing else, and as JSON.
package report

import (
	"fmt"
	"io"
	"strings"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// Glance returns the night in one line.
func Glance(p *plan.Plan) string {
	t := p.Total
	line := fmt.Sprintf("%s in %s: %s%s m of web, %s min", say.Count(t.Orders, "order"), say.Count(t.Runs, "run"), cost(p), say.Fixed(t.WebM, 1), say.Fixed(t.PressMin, 1))
	if t.Runs > 0 {
		line += ", " + quality(p)
	}
	if s := p.Alone.SavedMoney; s != nil && *s > 0 {
		line += fmt.Sprintf("; %s (%s %%) less than every order alone", amount(p, *s), say.Fixed(100*float64(*s)/float64(*p.Alone.Money), 1))
	} else if p.Alone.SavedWebM > 0 {
		line += fmt.Sprintf("; %s m (%s %%) less than every order alone", say.Fixed(p.Alone.SavedWebM, 1), say.Fixed(p.Alone.SavedWebPercent, 1))
	}
	if n := plan.LateOrders(p.Late); n > 0 {
		line += "; " + say.Count(n, "order") + " late"
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
func quality(p *plan.Plan) string {
	of := say.Where(p.ProvedFor != "", " for %s", p.ProvedFor)
	if p.Proved {
		return "proved best" + of
	}
	if p.Bound.Money != nil && *p.Bound.Money <= 0 {
		return "no bound is known"
	}
	text := fmt.Sprintf("at most %s %% above the best%s", say.Fixed(p.GapPercent, 2), of)
	if c := p.Replan; c != nil && !c.Anew {
		text += ", as what was planned is kept"
		if *p.Total.Money > c.MadeAnew {
			text += fmt.Sprintf(" (%s less planned anew)", amount(p, *p.Total.Money-c.MadeAnew))
		}
	}
	return text
}

// Text prints the plan for people, the glance line first.
func Text(w io.Writer, p *plan.Plan) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s\n\n", Glance(p))
	textLate(b, p)
	textReplan(b, p)
	textMoney(b, p)
	textTotals(b, p)
	textPresses(b, p)
	textFindings(b, p)
	for i := range p.Runs {
		textRun(b, p, &p.Runs[i])
	}
	textNotes(b, "Left out", p.Unplanned)
	textNotes(b, "For a later night", p.Later)
	textNotes(b, "Notes", p.Notes)
	textCompare(b, p)
	textCurve(b, p)
	_, err := io.WriteString(w, b.String())
	return err
}

func textTotals(b *strings.Builder, p *plan.Plan) {
	t, a := p.Total, p.Alone
	row := func(name, text string, args ...any) { say.Row(b, 11, name, text, args...) }
	row("Web", "%s net, %s run waste, %s make-ready: %s", say.Metres(t.WebNetM), say.Metres(t.RunWasteM), say.Metres(t.SetupM), say.Metres(t.WebM))
	finish := say.Where(t.FinishMin > 0, ", %s at the finishing line", say.Digits(t.FinishMin))
	row("Minutes", "%s on the press%s", say.Digits(t.PressMin), finish)
	row("Labels", "%s ordered, %s made, %s over%s%s", say.Number(t.Ordered), say.Number(t.Labels), say.Number(t.Overs), scrap(t.Scrap), trimmed(t.Trimmed))
	row("Bound", "no plan of these groups takes less than %s, %s min or %s", say.Metres(p.Bound.WebM), say.Digits(p.Bound.PressMin), say.Count(p.Bound.Runs, "run"))
	for _, line := range Pinned(p) {
		row("Pinned", "%s", line)
	}
	alone := ""
	if a.Money != nil {
		alone = ", " + amount(p, *a.Money)
	}
	row("Alone", "every order for itself: %s, %s, %s min%s", say.Count(a.Runs, "run"), say.Metres(a.WebM), say.Digits(a.PressMin), alone)
	b.WriteString("\n")
}

func scrap(n int64) string { return say.Where(n != 0, ", of them %s scrap", say.Number(n)) }

func trimmed(n int64) string {
	return say.Where(n != 0, ", %s trimmed at the ends of rolls", say.Number(n))
}

func textRun(b *strings.Builder, p *plan.Plan, run *plan.Run) {
	fmt.Fprintf(b, "%s  %s, %s net, %s in all, %s min; %s%s\n", say.Title(run.Name), say.Count(run.Frames, "frame"),
		say.Metres(run.WebM), say.Metres(run.WebGrossM), say.Digits(run.PressMin), what(p, run), after(blank(run)))
	if run.Money != nil {
		fmt.Fprintf(b, "    %s to %s%s, %s\n", clock(run.Start), clock(run.End), after(overtime(run)), strings.Join(paid(p, run), ", "))
	}
	for _, s := range run.Orders {
		place := say.Count(s.Lanes, "lane")
		if s.Lanes == 0 {
			place = say.Count(s.Stations, "station")
		}
		fmt.Fprintf(b, "    %-12s %-11s %9s labels, %s over%s%s%s%s%s%s%s\n", s.Order, place, say.Number(s.Labels), say.Number(s.Overs),
			scrap(s.Scrap), trimmed(s.Trimmed), after(s.Rest()), after(sized(s)), after(turned(s)), after(owed(p, s)), product(s.Product))
	}
	if list := codes(run); list != "" {
		fmt.Fprintf(b, "    look at: %s\n", list)
	}
	if text := pixels(run); text != "" {
		fmt.Fprintf(b, "    %s\n", text)
	}
}

// pixels says how far a run's plates are from its artworks', where they were drawn.
func pixels(run *plan.Run) string {
	if run.Proof == nil || run.Proof.Pixels == nil {
		return ""
	}
	x := run.Proof.Pixels
	return fmt.Sprintf("proved by its pixels: %s, %d of them distinct, at %s dpi within %s points of tint", say.Count(int64(x.Stations), "station"), x.Distinct, say.Exact(x.DPI), say.Fixed(x.Worst, 2))
}

// what says what a run is printed on, and with.
func what(p *plan.Plan, run *plan.Run) string {
	g := p.Groups[run.Group-1]
	var parts []string
	if g.Press != "" {
		parts = append(parts, g.Press)
	}
	if g.WebMM > 0 {
		parts = append(parts, "web "+say.MM(g.WebMM))
	}
	if g.Material != "" {
		parts = append(parts, g.Material)
	}
	if g.Die != "" {
		parts = append(parts, "die "+g.Die)
	}
	sizes := run.LabelsMM()
	if len(sizes) == 0 {
		sizes = [][2]float64{g.LabelMM}
	}
	for _, s := range sizes {
		parts = append(parts, say.Pair(s[0], s[1]))
	}
	if g.TurnDeg != 0 && len(g.TurnsDeg) == 0 {
		parts = append(parts, fmt.Sprintf("turned %d degrees", g.TurnDeg))
	}
	if g.RollFrames > 0 {
		parts = append(parts, "whole rolls")
	}
	if n := len(g.Inks); n > 0 {
		parts = append(parts, say.Count(n, "ink"))
	}
	if run.Due != "" {
		parts = append(parts, "due "+run.Due)
	}
	return strings.Join(parts, ", ")
}

// blank says what a run leaves of the band, and of its die; nothing where it fills
// both.
func blank(run *plan.Run) string {
	text := blankBand(run)
	if n := run.UnusedLanes; n > 0 {
		if text != "" {
			text += ", "
		}
		text += say.Count(n, "lane") + " of the die unused"
	}
	return text
}

func blankBand(run *plan.Run) string {
	switch {
	case run.BandLeftMM > 0:
		return say.MM(run.BandLeftMM) + " of the band blank"
	case run.BlankLanes > 0:
		return say.Count(run.BlankLanes, "blank lane")
	case run.BlankPlaces > 0:
		return say.Count(run.BlankPlaces, "blank station")
	}
	return ""
}

// sized names a share's label, where labels differ.
func sized(s plan.Share) string {
	if s.LabelMM == nil {
		return ""
	}
	return say.Pair(s.LabelMM[0], s.LabelMM[1])
}

// turned says how a share's lanes are turned, where those of its group differ.
func turned(s plan.Share) string {
	if s.TurnDeg == nil {
		return ""
	}
	return fmt.Sprintf("turned %d degrees", *s.TurnDeg)
}

// after sets what there is to say behind a comma.
func after(text string) string { return say.Where(text != "", ", %s", text) }

func product(name string) string { return say.Where(name != "", "  %s", name) }

func textCurve(b *strings.Builder, p *plan.Plan) {
	for _, c := range p.Curve {
		fmt.Fprintf(b, "\nRuns against metres, group %d:\n", c.Group)
		for _, pt := range c.Points {
			mark := say.Where(pt.Chosen, "  chosen")
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
