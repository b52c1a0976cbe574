package summary

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"quoin/impose/say"
)

// Text prints the summary for a person, one glance line first.
func (s *Summary) Text(w io.Writer) error {
	var b strings.Builder
	l, r := s.Layout, s.Run
	fmt.Fprintf(&b, "%s%s on a frame of %s; %s\n\n", named(s.Job), l.held(), say.MM(l.RepeatMM), s.takes())
	row := func(name, text string, args ...any) { fmt.Fprintf(&b, "%-10s %s\n", name, fmt.Sprintf(text, args...)) }

	for _, a := range s.Again {
		a.rows(row)
	}
	for _, h := range s.House {
		row("House", "%s", h.row())
	}
	row("Layout", "%s, turned %s; gaps %s across, %s around; bleed %s mm",
		s.labelText(), s.TurnText(" degrees"), say.Digits(l.GapAcrossMM), say.Digits(l.GapAroundMM), say.Digits(l.BleedMM))
	for _, name := range inText {
		if text := s.said(name.codes); text != "" {
			row(name.row, "%s", text)
		}
	}
	row("Web", "%s mm wide, band %s mm, repeat %s mm%s", say.Digits(l.WebMM), say.Digits(l.BandMM), say.Digits(l.RepeatMM), cylinder(l.Cylinder))
	if s.Die != nil {
		row("Die", "%s", s.Die.row())
	}
	if l.SecondSurface {
		row("Surface", "second: everything is mirrored across and reads right through the film; positions are those of the printed face, lane 1 at its left and at the right of what is seen through the film")
	}
	if s.Winding != nil {
		row("Winding", "%s", s.Winding.row())
	}
	for _, a := range s.Artworks {
		if a.Winding != nil {
			row("Winding", "product %d: %s", a.Artwork, a.Winding.row())
		}
	}
	if s.Flexo != nil {
		row("Flexo", "%s", s.Flexo.row())
	}
	row("Net web", "label %s %%, matrix %s %%, edge %s %%%s", say.Fixed(l.LabelPercent, 2), say.Fixed(l.MatrixPercent, 2), say.Fixed(l.EdgePercent, 2), tail(l.TailPercent))
	if s.Thousand != nil {
		row("Run", "nothing is ordered: %s of %s; --quantity says how many labels are", say.Count(r.Frames, "frame"), say.Count(r.Labels, "label"))
	} else {
		s.runRows(row)
	}
	if s.Production != nil {
		s.Production.rows(row)
	}
	row("Inks", "%s", inkList(s.Inks))
	s.inkRows(row)
	if len(s.Targets) > 0 {
		where := "in the margins"
		if slices.ContainsFunc(s.Targets, func(t Target) bool { return t.Lane > 0 }) {
			where += " and between lanes"
		}
		row("Targets", "%s %s", say.Count(len(s.Targets), "patch"), where)
	}
	if r := s.RIP; r != nil {
		row("RIP", "about %s MB to read, %s of artworks, labels painted %s", say.Decimals(max(0.1, float64(r.AboutBytes)/1e6), 1), say.Count(r.Forms, "form"), say.Count(r.PaintsLabels, "time"))
	}
	if w := s.Written; w != nil {
		row("Proof", "%s", proofText(w.Proved))
	}
	if w := s.Written; w != nil && w.Marker != "" {
		row("Marker", "%s: nothing was found that goes against our list", w.Marker)
	} else if w != nil {
		row("Marker", "none; PDF/X-4 asks for what is missing here: %s", brokenRules(w.Breaches))
	}
	b.WriteString("\n")
	for _, a := range s.Artworks {
		text := fmt.Sprintf("%d  %s, page %d%s: %s; ", a.Artwork, productName(a), a.Page, a.labelText(), lanes(a.Lanes))
		if s.Thousand != nil {
			row("Product", "%s%s on a frame", text, say.Count(a.Labels, "label"))
		} else {
			row("Product", "%s%s ordered, %s made, %s over%s", text, say.Number(a.Ordered), say.Number(a.Labels), say.Number(a.Overs), trimmed(a.Trimmed))
		}
	}
	for _, n := range s.Lanes {
		what := "blank"
		if n.Artwork > 0 {
			what = fmt.Sprintf("product %d, %s", n.Artwork, say.Count(n.Labels, "label"))
		} else if len(n.Artworks) > 0 {
			what = fmt.Sprintf("products %s mixed, %s", say.List(say.Numbers(n.Artworks)), say.Count(n.Labels, "label"))
		}
		if n.FinishingLane > 0 && n.FinishingLane != n.Lane {
			what += fmt.Sprintf("; lane %d at the finishing line", n.FinishingLane)
		}
		if n.TurnDeg != nil {
			what += fmt.Sprintf("; turned %d degrees", *n.TurnDeg)
		}
		row(fmt.Sprintf("Lane %d", n.Lane), "%s to %s mm: %s", say.Digits(n.LeftMM), say.Digits(n.RightMM), what)
	}
	for i := range s.Rolls {
		row("Rolls", "%s", s.Rolls[i].row())
	}
	b.WriteString("\n")
	for _, f := range s.Files {
		row(say.Title(f.Role), "%s  sha256 %s", f.Path, f.SHA256)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// takes says in a glance what the order takes or, without one, 1,000 labels.
func (s *Summary) takes() string {
	if t := s.Thousand; t != nil {
		text := fmt.Sprintf("1,000 labels take %s m of web, %s m2", say.Amount(t.WebM), say.Amount(t.WebM2))
		if t.PressMin > 0 {
			text += ", " + say.Amount(t.PressMin) + " min"
		}
		return text
	}
	r := s.Run
	return fmt.Sprintf("%s, %s m of web, %s, yield %s %%", say.Count(r.Frames, "frame"), say.Fixed(r.WebGrossM, 1), r.TimeText(), say.Fixed(r.YieldPercent, 1))
}

// proofText says whether the file was proved.
func proofText(proved bool) string {
	if proved {
		return "the file was read again and proved against this summary before it appeared"
	}
	return "the file was not proved against this summary"
}

// runRows prints what an order takes.
func (s *Summary) runRows(row func(name, text string, args ...any)) {
	r := s.Run
	row("Run", "%s ordered, %s made, %s over%s; %s", say.Number(r.Ordered), say.Number(r.Labels), say.Number(r.Overs), trimmed(r.Trimmed), say.Count(r.Frames, "frame"))
	if r.ChangeOvers > 0 {
		row("Changes", "%s between rolls, which take %s of each lane", say.CountOf(r.ChangeOvers, "change-over label", "change-over labels"), say.Metres(r.ChangeOverM))
	}
	row("Metres", "%s net, %s gross with %s of make-ready", say.Fixed(r.WebNetM, 3), say.Fixed(r.WebGrossM, 3), say.Metres(r.SetupM))
	row("Minutes", "%s", minutes(r))
	row("Gross web", "ordered labels %s %%, overs %s, matrix %s, edge %s, tail %s, run %s, make-ready %s",
		say.Fixed(r.YieldPercent, 2), say.Fixed(r.OversPercent, 2), say.Fixed(r.MatrixPercent, 2), say.Fixed(r.EdgePercent, 2), say.Fixed(r.TailPercent, 2), say.Fixed(r.RunWastePercent, 2), say.Fixed(r.MakeReadyPercent, 2))
}

func cylinder(c string) string { return say.Where(c != "", " (%s)", c) }

// named puts the job's name before a line, where it has one.
func named(job string) string { return say.Where(job != "", "%s: ", job) }

func tail(percent float64) string {
	return say.Where(percent != 0, ", tail %s %%", say.Fixed(percent, 2))
}

// TimeText says the minutes on the press, or that nobody knows them.
func (r Usage) TimeText() string {
	if r.PressMin == 0 {
		return "time not known"
	}
	return say.Fixed(r.PressMin, 1) + " min"
}

func minutes(r Usage) string {
	if r.SpeedMPerMin == 0 {
		return "unknown: no press and no --speed was given"
	}
	return fmt.Sprintf("%s at %s m/min, the speed with %s", say.Fixed(r.PressMin, 3), say.Digits(r.SpeedMPerMin), say.Count(r.PrintingInks, "printing ink"))
}

func productName(a Artwork) string {
	if a.Product == "" {
		return a.File
	}
	return a.Product + " (" + a.File + ")"
}

func trimmed(n int64) string {
	return say.Where(n != 0, ", %s trimmed at the ends of rolls", say.Number(n))
}

// lanes names lanes: "lane 1", "lanes 1, 2 and 4", or that there are none.
func lanes(list []int) string {
	switch len(list) {
	case 0:
		return "no lane"
	case 1:
		return "lane " + say.Number(list[0])
	}
	return "lanes " + say.List(say.Numbers(list))
}

func inkList(inks []Ink) string {
	if len(inks) == 0 {
		return "none"
	}
	parts := make([]string, len(inks))
	for i, k := range inks {
		parts[i] = k.Name
		if k.Kind != "process" {
			parts[i] += " (" + k.Kind + ")"
		}
		if k.Idle {
			parts[i] += " (an empty plate)"
		}
	}
	return strings.Join(parts, ", ")
}

// brokenRules lists the rules that stand in the way of the marker, each once.
func brokenRules(list []Breach) string {
	var names []string
	for _, b := range list {
		if !slices.Contains(names, b.Rule) {
			names = append(names, b.Rule)
		}
	}
	return strings.Join(names, ", ")
}

// Grid says how lanes and rows of a frame stand. Where not every lane has a label
// in every row, as in rows that are staggered, the two are no product.
func Grid(across, around, labels int) string {
	if across*around != labels {
		return fmt.Sprintf("%s and %s", say.Count(across, "lane"), say.Count(around, "row"))
	}
	return fmt.Sprintf("%d across x %d around", across, around)
}

// held says how many labels stand on the frame, and how.
func (l *Layout) held() string {
	labels, grid := say.Count(l.Labels, "label"), Grid(l.Across, l.Around, l.Labels)
	if l.Across*l.Around != l.Labels {
		return labels + " in " + grid
	}
	return grid + " = " + labels
}

// inText are the notes that the text says itself, in rows of their own: what was
// taken as the cut and what was left, how labels are nested, and how many stand
// across the seam. Nobody should have to ask for them.
var inText = []struct {
	row   string
	codes []string
}{
	{"Cut", []string{"outline-taken", "outline-left", "shape-of-artwork", "shape-of-die", "die-line-holes"}},
	{"Nested", []string{"nested", "seam"}},
}

// InText reports whether the text itself says what the note of a code does.
func InText(code string) bool {
	for _, name := range inText {
		if slices.Contains(name.codes, code) {
			return true
		}
	}
	return false
}

// said joins the notes of some codes.
func (s *Summary) said(codes []string) string {
	var said []string
	for _, n := range s.Notes {
		if slices.Contains(codes, n.Code) {
			said = append(said, n.Text)
		}
	}
	return strings.Join(said, "; ")
}
