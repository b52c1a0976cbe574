package night

import (
	"fmt"
	"strings"

	"quoin/impose/say"
)

// Shown is a variant as a report lists it: with differences only where the same
// orders are printed, as fewer orders always take less web.
type Shown struct {
	Variant
	Serves string // what stands in the place of differences; "" where they compare
}

// Shown lists the variants that serve any order.
func (p *Plan) Shown() []Shown {
	var out []Shown
	for _, v := range p.Compare {
		if v.Orders == 0 && v.OfOrders > 0 {
			continue
		}
		row := Shown{Variant: v}
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

// Useless gives a line for the variants that serve no order, those of one
// reason together.
func (p *Plan) Useless() []string {
	var codes, lines []string
	rules, why := map[string][]string{}, map[string]string{}
	for _, v := range p.Compare {
		if v.Orders > 0 || v.OfOrders == 0 {
			continue
		}
		if rules[v.code] == nil {
			codes = append(codes, v.code)
			why[v.code] = v.Why
		}
		rules[v.code] = append(rules[v.code], v.Rule)
	}
	for _, code := range codes {
		line := "serves no order: " + strings.Join(rules[code], ", ")
		of := ""
		if len(rules[code]) > 1 {
			of = "the first: "
		}
		if why[code] != "" {
			line += " (" + of + why[code] + ")"
		}
		lines = append(lines, line)
	}
	return lines
}

func (p *Plan) textCompare(b *strings.Builder) {
	if len(p.Compare) == 0 {
		return
	}
	b.WriteString("\nWhat each rule costs:\n")
	fmt.Fprintf(b, "    %-36s %5s %6s %11s %9s %9s %9s  %s\n", "", "runs", "orders", "web m", "more m", "more m2", "more min", "gap %")
	for _, v := range p.Shown() {
		fmt.Fprintf(b, "    %-36s %5d %6d %11s ", v.Rule, v.Runs, v.Orders, say.Fixed(v.WebM, 1))
		if v.Serves != "" {
			fmt.Fprintf(b, "  %s\n", v.Serves)
			continue
		}
		fmt.Fprintf(b, "%+9.1f %+9.1f %+9.2f  %s\n", v.MoreWebM, v.MoreM2, v.MorePressMin, gap(v.Proved, v.GapPercent))
	}
	for _, line := range p.Useless() {
		fmt.Fprintf(b, "    %s\n", line)
	}
}
