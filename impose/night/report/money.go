package report

import (
	"fmt"
	"strings"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// amount writes money with its thousands and its currency.
func amount(p *plan.Plan, money int64) string {
	decimals := 0
	for unit := p.MoneyUnit; unit < 0.99; unit *= 10 {
		decimals++
	}
	return say.Fixed(float64(money)*p.MoneyUnit, decimals) + " " + p.Currency
}

// clock writes what ends with a time as people do: 2026-03-02 22:05.
func clock(at string) string {
	if n := len(at) - len("T22:05"); n >= 0 && at[n] == 'T' {
		return at[:n] + " " + at[n+1:]
	}
	return at
}

// cost says what the night costs, in front of what it takes.
func cost(p *plan.Plan) string {
	if p.Total.Money == nil {
		return ""
	}
	return amount(p, *p.Total.Money) + ", "
}

// paid says what a run costs, the largest items by name and the others together.
func paid(p *plan.Plan, run *plan.Run) []string {
	list := []string{amount(p, *run.Money)}
	rest, small := int64(0), plan.Item("")
	for _, part := range run.Parts {
		switch {
		case 20*part.Money >= *run.Money || part.Money < 0:
			list = append(list, fmt.Sprintf("%s %s", part.Item, amount(p, part.Money)))
		case small == "":
			rest, small = part.Money, part.Item
		default:
			rest, small = rest+part.Money, "the rest"
		}
	}
	if small != "" {
		list = append(list, fmt.Sprintf("%s %s", small, amount(p, rest)))
	}
	return list
}

// owed is an order's part of a run's money.
func owed(p *plan.Plan, s plan.Share) string {
	if s.Money == nil {
		return ""
	}
	return amount(p, *s.Money)
}

// percent is an item's part of the night's money.
func percent(p *plan.Plan, money int64) string {
	if *p.Total.Money == 0 {
		return "0.0"
	}
	return say.Fixed(100*float64(money)/float64(*p.Total.Money), 1)
}

// someOf lists names, of many the first.
func someOf(names []string) string {
	const most = 12
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

func textMoney(b *strings.Builder, p *plan.Plan) {
	if p.Total.Money == nil {
		return
	}
	b.WriteString("Money:\n")
	for _, part := range p.Total.Parts {
		fmt.Fprintf(b, "    %-16s %16s %6s %%\n", part.Item, amount(p, part.Money), percent(p, part.Money))
	}
	fmt.Fprintf(b, "    %-16s %16s\n", "in all", amount(p, *p.Total.Money))
	fmt.Fprintf(b, "    %-16s %16s\n\n", "no plan is under", amount(p, *p.Bound.Money))
	for _, line := range tools(p) {
		fmt.Fprintf(b, "%s\n\n", line)
	}
}

// tools says which tools would pay that are not there.
func tools(p *plan.Plan) (lines []string) {
	for _, t := range p.Tools {
		on := "in a stroke of the " + t.Station + " station"
		if t.Cylinder != "" {
			on = "on " + t.Cylinder
		}
		of := say.Where(t.Press != "", " of %s", t.Press)
		shape := say.Where(t.Shape == "outline", "the outline of ")
		lines = append(lines, fmt.Sprintf("A new tool would pay: %s by %s of %s%s %s%s, gaps %s x %s, for %s (%s). Planned by themselves they cost %s, with it %s, and it costs %s: %s less. Nothing of this plan counts on it.",
			say.Count(t.Lanes, "lane"), say.Count(t.Rows, "row"), shape, say.Pair(t.LabelMM[0], t.LabelMM[1]), on, of, say.Digits(t.GapMM[0]), say.MM(t.GapMM[1]),
			say.Count(len(t.Orders), "order"), someOf(t.Orders), amount(p, t.Now), amount(p, t.With), amount(p, t.Price), amount(p, t.Saves)))
	}
	return lines
}

func textPresses(b *strings.Builder, p *plan.Plan) {
	for _, x := range p.Presses {
		if x.Runs == 0 {
			fmt.Fprintf(b, "%s prints nothing.\n", x.Press)
			continue
		}
		fmt.Fprintf(b, "%s: %s, %s to %s, busy %s of %s min, %s\n", x.Press, say.Count(x.Runs, "run"), clock(x.Start), clock(x.End),
			say.Fixed(x.BusyMin, 0), say.Fixed(x.HoursMin, 0), amount(p, x.Money))
	}
	if len(p.Presses) > 0 {
		b.WriteString("\n")
	}
}
