package summary

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"quoin/impose/say"
)

// Text prints the summary for a person, one glance line first.
func (s *Summary) Text(w io.Writer) error {
	var b strings.Builder
	l, r := s.Layout, s.Run
	fmt.Fprintf(&b, "%s: %d across x %d around = %d labels on a frame of %s mm; %s frames, %.1f m of web, %s, yield %.1f %%\n\n",
		s.Job, l.Across, l.Around, l.Labels, digits(l.RepeatMM), thousands(r.Frames), r.WebGrossM, r.TimeText(), r.YieldPercent)
	row := func(name, text string, args ...any) { fmt.Fprintf(&b, "%-10s %s\n", name, fmt.Sprintf(text, args...)) }

	row("Layout", "%s, turned %d degrees; gaps %s across, %s around; bleed %s mm",
		s.labelText(), l.TurnDeg, digits(l.GapAcrossMM), digits(l.GapAroundMM), digits(l.BleedMM))
	row("Web", "%s mm wide, band %s mm, repeat %s mm%s", digits(l.WebMM), digits(l.BandMM), digits(l.RepeatMM), cylinder(l.Cylinder))
	if s.Die != nil {
		row("Die", "%s", s.Die.row())
	}
	if l.SecondSurface {
		row("Surface", "second: everything is mirrored across and reads right through the film; positions are those of the printed face, lane 1 at its left and at the right of what is seen through the film")
	}
	if s.Winding != nil {
		row("Winding", "%s", s.Winding.row())
	}
	if s.Flexo != nil {
		row("Flexo", "%s", s.Flexo.row())
	}
	row("Net web", "label %.2f %%, matrix %.2f %%, edge %.2f %%%s", l.LabelPercent, l.MatrixPercent, l.EdgePercent, tail(l.TailPercent))
	row("Run", "%s ordered, %s made, %s over; %s frames", thousands(r.Ordered), thousands(r.Labels), thousands(r.Overs), thousands(r.Frames))
	row("Metres", "%.3f net, %.3f gross with %s m of make-ready", r.WebNetM, r.WebGrossM, digits(r.SetupM))
	row("Minutes", "%s", minutes(r))
	row("Gross web", "ordered labels %.2f %%, overs %.2f, matrix %.2f, edge %.2f, tail %.2f, run %.2f, make-ready %.2f",
		r.YieldPercent, r.OversPercent, r.MatrixPercent, r.EdgePercent, r.TailPercent, r.RunWastePercent, r.MakeReadyPercent)
	if s.Production != nil {
		s.Production.rows(row)
	}
	row("Inks", "%s", inkList(s.Inks))
	if len(s.Targets) > 0 {
		row("Targets", "%d patches in the margins", len(s.Targets))
	}
	if r := s.RIP; r != nil {
		row("RIP", "about %s MB to read, %s of artworks, labels painted %s", say.Decimals(max(0.1, float64(r.AboutBytes)/1e6), 1), say.Count(r.Forms, "form"), say.Count(r.PaintsLabels, "time"))
	}
	if w := s.Written; w != nil && w.Marker != "" {
		row("Marker", "%s: nothing was found that goes against our list", w.Marker)
	} else if w != nil {
		row("Marker", "none; PDF/X-4 asks for what is missing here: %s", brokenRules(w.Breaches))
	}
	b.WriteString("\n")
	for _, a := range s.Artworks {
		row("Product", "%d  %s, page %d%s: lanes %s; %s ordered, %s made, %s over",
			a.Artwork, productName(a), a.Page, a.labelText(), laneList(a.Lanes), thousands(a.Ordered), thousands(a.Labels), thousands(a.Overs))
	}
	for _, n := range s.Lanes {
		what := "blank"
		if n.Artwork > 0 {
			what = fmt.Sprintf("product %d, %s labels", n.Artwork, thousands(n.Labels))
		} else if len(n.Artworks) > 0 {
			what = fmt.Sprintf("products %s mixed, %s labels", laneList(n.Artworks), thousands(n.Labels))
		}
		if n.FinishingLane > 0 && n.FinishingLane != n.Lane {
			what += fmt.Sprintf("; lane %d at the finishing line", n.FinishingLane)
		}
		row(fmt.Sprintf("Lane %d", n.Lane), "%s to %s mm: %s", digits(n.LeftMM), digits(n.RightMM), what)
	}
	for i := range s.Rolls {
		row("Rolls", "%s", s.Rolls[i].row())
	}
	b.WriteString("\n")
	for _, f := range s.Files {
		row(title(f.Role), "%s  sha256 %s", f.Path, f.SHA256)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func cylinder(c string) string {
	if c == "" {
		return ""
	}
	return " (" + c + ")"
}

func tail(percent float64) string {
	if percent == 0 {
		return ""
	}
	return fmt.Sprintf(", tail %.2f %%", percent)
}

// TimeText says the minutes on the press, or that nobody knows them.
func (r Run) TimeText() string {
	if r.PressMin == 0 {
		return "time not known"
	}
	return say.Fixed(r.PressMin, 1) + " min"
}

func minutes(r Run) string {
	if r.SpeedMPerMin == 0 {
		return "unknown: no press and no --speed was given"
	}
	return fmt.Sprintf("%.3f at %s m/min, the speed with %s", r.PressMin, digits(r.SpeedMPerMin), plural(r.PrintingInks, "printing ink"))
}

func productName(a Artwork) string {
	if a.Product == "" {
		return a.File
	}
	return a.Product + " (" + a.File + ")"
}

func laneList(lanes []int) string {
	if len(lanes) == 0 {
		return "none"
	}
	parts := make([]string, len(lanes))
	for i, n := range lanes {
		parts[i] = strconv.Itoa(n)
	}
	return strings.Join(parts, " ")
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
	}
	return strings.Join(parts, ", ")
}

func plural(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

func title(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// digits prints millimetres and metres as short as they are exact, at most to
// a tenth of a micrometre.
func digits(v float64) string {
	s := strconv.FormatFloat(v, 'f', 4, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// thousands prints a count with thin groups, as people read it.
func thousands(n int64) string {
	s := strconv.FormatInt(n, 10)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
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
