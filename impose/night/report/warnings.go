package report

import (
	"fmt"
	"strings"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/plan"
)

// Warnings says what a person must look at, each thing in one line: see Findings.
func Warnings(p *plan.Plan) []string {
	var out []string
	for _, f := range Findings(p) {
		out = append(out, f.line())
	}
	return out
}

// Words says what a person should know of the order file, each thing in one line.
func Words(words []job.Fault) []string {
	c := newCollection()
	for _, n := range night.Words(words) {
		c.add(Finding{Code: n.Code, Orders: named(n.Order), Text: n.Text})
	}
	var out []string
	for _, f := range c.list {
		switch {
		case f.Count == 1:
			out = append(out, f.Text)
		case len(f.Orders) > 0:
			out = append(out, fmt.Sprintf("%s: the first: %s", orders(f.Orders), f.Text))
		default:
			out = append(out, fmt.Sprintf("%d places: the first: %s", f.Count, f.Text))
		}
	}
	return out
}

// textFindings lists what to look at above the runs, which then name the codes alone.
func textFindings(b *strings.Builder, p *plan.Plan) {
	var lines []string
	for _, f := range Findings(p) {
		if !f.LeftOut { // those stand in a list of their own
			lines = append(lines, f.line()+" ["+f.Code+"]")
		}
	}
	if len(lines) > 0 {
		fmt.Fprintf(b, "Look at before the runs:\n    %s\n\n", strings.Join(lines, "\n    "))
	}
}

// codes lists what a run is to be looked at for, each once.
func codes(run *plan.Run) string {
	var list []string
	seen := map[string]bool{}
	for _, w := range run.Warnings {
		if !seen[w.Code] {
			seen[w.Code] = true
			list = append(list, w.Code)
		}
	}
	return strings.Join(list, ", ")
}
