package fit

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"quoin/impose/say"
)

// optionsShown is how many options a person is shown; the JSON has all.
const optionsShown = 20

// Text prints the comparison for a person: a glance line, the table, and which
// option is best at which quantity.
func (c *Comparison) Text(w io.Writer) error {
	var b strings.Builder
	best := &c.Options[0]
	wrapped(&b, "", fmt.Sprintf("%s of %s x %s mm: the best of %s is %s on %s mm, turned %d: %s m, %s %s",
		say.Number(c.Quantity), say.Digits(c.LabelMM[0]), say.Digits(c.LabelMM[1]), say.Count(len(c.Options), "option"),
		best.Called(), say.Digits(best.WebMM), best.TurnDeg, say.Amount(best.WebGrossM), say.Amount(c.value(best)), c.Unit))
	b.WriteString("\n")
	c.table(&b)
	if rest := len(c.Options) - optionsShown; rest > 0 {
		fmt.Fprintf(&b, "  and %s; --json has all\n", say.CountOf(rest, "more", "more"))
	}
	b.WriteString("\nbest by quantity\n")
	for _, s := range c.Best {
		o := &c.Options[s.Option-1]
		wrapped(&b, fmt.Sprintf("  %-22s", s.words()), fmt.Sprintf("%d  %s on %s mm, turned %d degrees, %d x %d",
			o.Number, o.Called(), say.Digits(o.WebMM), o.TurnDeg, o.Across, o.Around))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (s Span) words() string {
	switch {
	case s.From == 0 && s.To == 0:
		return "any quantity"
	case s.From == 0:
		return "below " + say.Number(s.To)
	case s.To == 0:
		return "from " + say.Number(s.From)
	}
	return say.Number(s.From) + " to " + say.Number(s.To)
}

// Called is the option's name: its die, the new tool, or none.
func (o *Option) Called() string {
	switch {
	case o.NewTool:
		return "new " + o.Name()
	case o.Die == "":
		return "no die"
	}
	return o.Die
}

func (c *Comparison) table(b *strings.Builder) {
	t := table{
		head:    []string{"", "web", "turn", "grid", "length", c.Measure, "more", "more"},
		units:   []string{"", "mm", "deg", "", "m", c.Unit, "m", c.Unit},
		longest: 16,
	}
	minutes := c.Options[0].PressMin > 0
	if minutes {
		t.addColumn("press", "min")
		t.addColumn("more", "min")
	}
	weighed, priced := c.Options[0].InkG > 0, c.Options[0].InkCost > 0
	if weighed {
		t.addColumn("ink", "g")
	}
	if priced {
		t.addColumn("ink", c.Unit)
	}
	t.addColumn("break-even", "labels")
	for i := range c.Options[:min(optionsShown, len(c.Options))] {
		o := &c.Options[i]
		row := []string{
			fmt.Sprintf("%2d %s", o.Number, o.Called()), say.Digits(o.WebMM), strconv.Itoa(o.TurnDeg),
			fmt.Sprintf("%d x %d", o.Across, o.Around), say.Amount(o.WebGrossM), say.Amount(c.value(o)), more(o.MoreM), more(o.More),
		}
		if minutes {
			row = append(row, say.Amount(o.PressMin), more(o.MoreMin))
		}
		if weighed {
			row = append(row, say.Amount(o.InkG))
		}
		if priced {
			row = append(row, say.Amount(o.InkCost))
		}
		t.rows = append(t.rows, append(row, o.breakEven()))
	}
	t.print(b)
}

// more prints a difference with its sign, and nothing for none.
func more(v float64) string {
	switch s := say.Amount(v); {
	case strings.Trim(s, "0.-") == "":
		return "-"
	case v > 0:
		return "+" + s
	default:
		return s
	}
}

// breakEven tells from or up to how many labels the option beats the best.
func (o *Option) breakEven() string {
	switch {
	case o.Number == 1:
		return "best"
	case o.BreakEven == 0:
		return "never"
	case o.BetterAbove:
		return "> " + say.Number(o.BreakEven)
	}
	return "< " + say.Number(o.BreakEven)
}
