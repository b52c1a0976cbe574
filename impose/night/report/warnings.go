package report

import (
	"fmt"
	"strings"

	"quoin/impose/night"
	"quoin/impose/night/plan"
)

// Warnings says what a person must look at: orders that are left out, and what
// may be wrong with others or with runs.
func Warnings(p *plan.Plan) []string {
	var out []string
	for _, t := range together(p.Unplanned) {
		switch {
		case t.Names() == "":
			out = append(out, "a line is left out: "+t.Text)
		case len(t.Orders) == 1:
			out = append(out, fmt.Sprintf("order %s is left out: %s", t.Names(), t.Text))
		default:
			out = append(out, fmt.Sprintf("orders %s are left out: %s", t.Names(), t.Text))
		}
	}
	var look []night.Note
	for _, n := range p.Notes {
		if n.Warns() {
			look = append(look, n)
		}
	}
	for _, t := range together(look) {
		out = append(out, strings.TrimSpace(t.Names()+" "+t.Text))
	}
	for _, run := range p.Runs {
		for _, w := range run.Warnings {
			out = append(out, run.Name+": "+w.Text)
		}
	}
	return out
}
