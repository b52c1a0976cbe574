package geometry

import "fmt"

// Plan lays as many labels on the frame as the request has room for. Where
// several turns are allowed it takes the one that needs the least web for each
// label, and the earlier in the list when they are equal. When no turn fits,
// the error is a *NotFitError with the reasons of the first turn and what a
// turn would change.
func Plan(r Request) (*Layout, error) {
	if reasons := r.faults(); len(reasons) > 0 {
		return nil, &NotFitError{reasons}
	}
	best, refused := r.densest(r.plan)
	if best == nil {
		return nil, &NotFitError{r.withTurnHint(refused, r.turns())}
	}
	best.grid(r.Shift)
	return best, nil
}

// turns gives the turns that are allowed.
func (r Request) turns() []Turn {
	if len(r.Turns) == 0 {
		return []Turn{Turn0}
	}
	return r.Turns
}

// densest gives the layout of the turn that needs the least web for each label,
// or why the first turn has none.
func (r Request) densest(plan func(Turn) (*Layout, []Reason)) (best *Layout, refused []Reason) {
	for _, t := range r.turns() {
		l, reasons := plan(t)
		if l == nil {
			if refused == nil {
				refused = reasons
			}
			continue
		}
		if best == nil || l.denser(best) {
			best = l
		}
	}
	return best, refused
}

// plan counts lanes and rows at one turn; the stations are not laid yet.
func (r Request) plan(t Turn) (*Layout, []Reason) {
	label := r.Label.Turned(t)
	lanes, reasons := r.lanes(label.Across)
	rows, repeat, more := r.rows(label.Around)
	if reasons = append(reasons, more...); len(reasons) > 0 {
		return nil, reasons
	}
	if lanes > MostStations/rows {
		return nil, []Reason{tooMany(lanes, rows)}
	}
	area := r.Area
	if area == 0 {
		area = r.Label.Area()
	}
	return &Layout{
		Web: r.Web, Label: label, Area: area, Turn: t,
		Across: lanes, Around: rows, Repeat: repeat, Bleed: r.Bleed,
		Gap: Size{r.Gap.Across, repeat/Length(rows) - label.Around},
	}, nil
}

// lanes gives the lanes for a label so wide, or why there are none.
func (r Request) lanes(label Length) (int, []Reason) {
	shifted := r.Web.BandOff(r.Shift)
	fits := LanesIn(shifted, label, r.Gap.Across, r.Bleed)
	if wanted := max(r.Lanes, 1); fits < wanted {
		needs := BlockWidth(wanted, label, r.Gap.Across) + 2*r.Bleed
		reason := Reason{
			Code: CodeTooWide,
			Text: fmt.Sprintf("%s with %s bleed on both sides %s %s across, the band gives %s",
				lanesOf(wanted), r.Bleed, need(wanted), needs.up(), shifted.down()),
			Nearest: fmt.Sprintf("a web of %s would take it", (r.Web.Width + needs - shifted).up()),
		}
		if wanted > 1 && fits > 0 {
			reason.Nearest = fmt.Sprintf("%s would fit; %s", lanesOf(fits), reason.Nearest)
		} else if room := shifted - 2*r.Bleed; wanted == 1 && room > 0 {
			reason.Nearest = fmt.Sprintf("a label of up to %s across would fit; %s", room.down(), reason.Nearest)
		}
		return 0, []Reason{reason}
	}
	if r.Lanes > 0 {
		return r.Lanes, nil
	}
	return fits, nil
}

// rows gives the rows and the repeat for a label so long, or why there are none.
func (r Request) rows(label Length) (int, Length, []Reason) {
	pitch := label + r.Gap.Around
	limit, what := r.Repeat.Fixed, "the repeat"
	if limit == 0 {
		limit, what = r.Repeat.Max, "the longest frame"
	}
	fits := RowsIn(limit, label, r.Gap.Around)
	if wanted := max(r.Rows, 1); fits < wanted {
		needs := Length(wanted) * pitch
		reason := Reason{
			Code: CodeTooLong,
			Text: fmt.Sprintf("%s with %s gap %s %s around, %s gives %s",
				rowsOf(wanted), r.Gap.Around, need(wanted), needs.up(), what, limit.down()),
			Nearest: fmt.Sprintf("a repeat of %s would take it", needs.up()),
		}
		if wanted > 1 && fits > 0 {
			reason.Nearest = fmt.Sprintf("%s would fit; %s", rowsOf(fits), reason.Nearest)
		} else if room := limit - r.Gap.Around; wanted == 1 && room > 0 {
			reason.Nearest = fmt.Sprintf("a label of up to %s around would fit; %s", room.down(), reason.Nearest)
		}
		return 0, 0, []Reason{reason}
	}
	if r.Rows > 0 {
		fits = r.Rows
	}
	if r.Repeat.Fixed > 0 {
		return fits, r.Repeat.Fixed, nil
	}
	return fits, Length(fits) * pitch, nil
}

// denser reports whether l needs less web for each label than m: the quotients
// of labels and repeat compared across, in whole numbers.
func (l *Layout) denser(m *Layout) bool {
	return Length(l.Across*l.Around)*m.Repeat > Length(m.Across*m.Around)*l.Repeat
}

// withTurnHint adds what a turn that was not allowed would change.
func (r Request) withTurnHint(reasons []Reason, tried []Turn) []Reason {
	for _, t := range tried {
		if t.Swaps() != tried[0].Swaps() {
			return reasons // both ways were tried
		}
	}
	other := tried[0].Plus(Turn90)
	l, _ := r.plan(other)
	if l == nil {
		return reasons
	}
	out := append([]Reason(nil), reasons...)
	out[0].Nearest = fmt.Sprintf("turned to %s degrees it fits %d across and %d around; %s",
		other, l.Across, l.Around, out[0].Nearest)
	return out
}

func lanesOf(n int) string { return counted(n, "lane") }
func rowsOf(n int) string  { return counted(n, "row") }

func counted(n int, noun string) string {
	if n == 1 {
		return "one " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func need(n int) string {
	if n == 1 {
		return "needs"
	}
	return "need"
}
