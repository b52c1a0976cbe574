package colour

import (
	"fmt"
	"io"
	"strings"

	"quoin/impose/say"
)

// mostLines is how many of a long list the text shows; the JSON has them all.
const mostLines = 12

// Text writes the report for the operator: the verdict first, then what it rests
// on.
func (rep *Report) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", rep.Job, rep.Headline())
	for _, c := range rep.Worst {
		if c.Verdict != Pass {
			fmt.Fprintf(&b, "  %s\n", c.Text)
		}
	}
	for _, d := range rep.Drift {
		fmt.Fprintf(&b, "  %s\n", d.What)
	}
	b.WriteString("\n")
	if p := rep.Paper; p != nil {
		fmt.Fprintf(&b, "%-24s %s\n", "paper", against(p))
	}
	for _, ink := range rep.Inks {
		rep.inkText(&b, ink)
	}
	for i := range rep.Overprints {
		fmt.Fprintf(&b, "%-24s %s\n", rep.Overprints[i].Patch, against(&rep.Overprints[i]))
	}
	for _, g := range rep.Greys {
		fmt.Fprintf(&b, "%-24s %s off its aim, %s off neutral on this paper; %s\n", g.Patch, say.Fixed(g.Off, 1), say.Fixed(g.Neutral, 1), g.Words)
	}
	if s := rep.Spread; s != nil {
		fmt.Fprintf(&b, "%-24s %s points\n", "spread of mid-tones", say.Fixed(s.Points, 1))
	}
	for _, o := range rep.Opacity {
		fmt.Fprintf(&b, "%-24s %s %% opaque\n", o.Ink, say.Fixed(o.Percent, 0))
	}
	for _, a := range rep.Advised() {
		fmt.Fprintf(&b, "advice    %s\n", a)
	}
	for _, m := range rep.Measured {
		fmt.Fprintf(&b, "measured  %s: %d readings, %s\n", m.File, m.Readings, m.Words())
	}
	for i, u := range rep.Unmatched {
		if i == mostLines {
			fmt.Fprintf(&b, "unmatched %d more; --json lists them\n", len(rep.Unmatched)-i)
			break
		}
		fmt.Fprintf(&b, "unmatched %s:%d: %s\n", u.File, u.Line, u.Why)
	}
	for _, n := range rep.Notes {
		fmt.Fprintf(&b, "note      %s\n", n)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Headline says the verdict in one line.
func (rep *Report) Headline() string {
	stop, look := 0, 0
	for _, c := range rep.Checks {
		switch c.Verdict {
		case Stop:
			stop++
		case Look:
			look++
		}
	}
	switch rep.Verdict {
	case Stop:
		return fmt.Sprintf("STOP, %d of %d checks are out of tolerance", stop, len(rep.Checks))
	case Look:
		var why []string
		if look > 0 {
			why = append(why, fmt.Sprintf("%d of %d checks are near a limit", look, len(rep.Checks)))
		}
		if len(rep.Drift) > 0 {
			why = append(why, "something drifts")
		}
		if len(why) == 0 {
			why = []string{"something was not measured or not matched"}
		}
		return "LOOK, " + strings.Join(why, ", ")
	}
	return fmt.Sprintf("PASS, all %d checks are in tolerance", len(rep.Checks))
}

// Words says how a file was measured, and what it leaves unsaid.
func (m Measured) Words() string {
	words := []string{m.Instrument, m.Measured, m.Backing}
	if m.Instrument == "" {
		words[0] = "instrument not said"
	}
	if m.M == "" {
		words = append(words, "M condition not said")
	}
	var out []string
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, ", ")
}

// against tells a colour against its aim in a line.
func against(c *Colour) string {
	at := fmt.Sprintf("L* %5s  a* %5s  b* %5s", say.Fixed(c.Lab.L, 1), say.Fixed(c.Lab.A, 1), say.Fixed(c.Lab.B, 1))
	if c.DE00 == nil {
		return fmt.Sprintf("%s   no aim; within the run %s (%d readings)", at, say.Fixed(c.RunDE, 1), c.Readings)
	}
	return fmt.Sprintf("%s   dE00 %s, dE76 %s, worst %s, within the run %s (%d readings)", at, say.Fixed(*c.DE00, 1), say.Fixed(*c.DE76, 1), say.Fixed(*c.WorstDE, 1), say.Fixed(c.RunDE, 1), c.Readings)
}

func (rep *Report) inkText(b *strings.Builder, ink InkResult) {
	if ink.Solid == nil {
		return
	}
	fmt.Fprintf(b, "%-24s %s\n", ink.Name, against(ink.Solid))
	for _, t := range ink.Tones {
		aim := "no aim"
		if t.Aim != nil {
			aim = fmt.Sprintf("aim %s, off by %s", say.Fixed(*t.Aim, 1), say.Signed(t.Value-*t.Aim, 1))
		}
		fmt.Fprintf(b, "  %3s %%                  %s, increase %s; %s\n", say.Plain(t.Nominal, 2), say.Fixed(t.Value, 1), say.Signed(t.Increase, 1), aim)
	}
}

// Advised lists all advice that there is, of an ink with its name.
func (rep *Report) Advised() (out []string) {
	for _, ink := range rep.Inks {
		if ink.Advice != "" && ink.Advice != LeaveIt {
			out = append(out, ink.Name+": "+ink.Advice)
		}
	}
	for _, f := range rep.Fewer {
		out = append(out, f.Text)
	}
	if t := rep.Together; t != nil {
		out = append(out, t.Text)
	}
	return out
}
