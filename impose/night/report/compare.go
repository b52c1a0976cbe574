package report

import (
	"fmt"
	"strings"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// variant is one as a report lists it: with differences only where the same
// orders are printed, as fewer orders always take less web.
type variant struct {
	plan.Variant
	Serves string // what stands in the place of differences; "" where they compare
}

// Gap says how good the plan under the rule is known to be, and among which.
func (v variant) Gap() string {
	if v.ProvedFor == "" {
		return gap(v.Proved, v.GapPercent)
	}
	return gap(v.Proved, v.GapPercent) + " for " + v.ProvedFor
}

// shown lists the variants that serve any order.
func shown(p *plan.Plan) []variant {
	var out []variant
	for _, v := range p.Compare {
		if v.Orders == 0 && v.OfOrders > 0 {
			continue
		}
		row := variant{Variant: v}
		if !v.SameOrders {
			row.Serves = fmt.Sprintf("serves %d of %s", v.Orders, say.Count(v.OfOrders, "order"))
			if v.Orders == p.Total.Orders {
				row.Serves += ", not the same"
			}
		}
		out = append(out, row)
	}
	return out
}

// useless returns a line for the variants that serve no order, those of one
// reason together.
func useless(p *plan.Plan) []string {
	var codes, lines []string
	rules, why := map[string][]string{}, map[string]string{}
	for _, v := range p.Compare {
		if v.Orders > 0 || v.OfOrders == 0 {
			continue
		}
		if rules[v.WhyCode] == nil {
			codes = append(codes, v.WhyCode)
			why[v.WhyCode] = v.Why
		}
		rules[v.WhyCode] = append(rules[v.WhyCode], v.Rule)
	}
	for _, code := range codes {
		line := "serves no order: " + strings.Join(rules[code], ", ")
		of := say.Where(len(rules[code]) > 1, "the first: ")
		if why[code] != "" {
			line += " (" + of + why[code] + ")"
		}
		lines = append(lines, line)
	}
	return lines
}

// column heads what each rule costs in money, where the plan is by it.
func column(p *plan.Plan) string { return say.Where(p.Total.Money != nil, "%14s  ", "more money") }

// more is that money.
func more(p *plan.Plan, v variant) string {
	switch {
	case p.Total.Money == nil:
		return ""
	case v.MoreMoney == nil:
		return fmt.Sprintf("%14s  ", "")
	}
	return fmt.Sprintf("%14s  ", plus(p, v.MoreMoney))
}

// plus writes the money with its sign.
func plus(p *plan.Plan, money *int64) string {
	sign := say.Where(*money >= 0, "+")
	return sign + amount(p, *money)
}

func textCompare(b *strings.Builder, p *plan.Plan) {
	if len(p.Compare) == 0 {
		return
	}
	b.WriteString("\nWhat each rule costs:\n")
	fmt.Fprintf(b, "    %-36s %5s %6s %11s %9s %9s %9s  %s\n", "", "runs", "orders", "web m", "more m", "more m2", "more min", column(p)+"gap %")
	for _, v := range shown(p) {
		fmt.Fprintf(b, "    %-36s %5d %6d %11s ", v.Rule, v.Runs, v.Orders, say.Fixed(v.WebM, 1))
		if v.Serves != "" {
			fmt.Fprintf(b, "  %s\n", v.Serves)
			continue
		}
		fmt.Fprintf(b, "%+9.1f %+9.1f %+9.2f  %s%s\n", v.MoreWebM, v.MoreM2, v.MorePressMin, more(p, v), v.Gap())
	}
	for _, line := range useless(p) {
		fmt.Fprintf(b, "    %s\n", line)
	}
}
