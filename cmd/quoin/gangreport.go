package main

import (
	"fmt"

	"quoin/impose/night/plan"
	"quoin/impose/night/report"
	"quoin/impose/say"
)

// report prints the plan and what was left out.
func (f *gangFlags) report(io streams, p *plan.Plan) error {
	var err error
	switch {
	case f.json:
		err = report.JSON(io.out, p)
	case f.csv:
		err = report.CSV(io.out, p)
	default:
		err = report.Text(io.out, p)
	}
	if err != nil {
		return fmt.Errorf("printing the plan: %w", err)
	}
	// A person at a terminal has just read all of it in the report.
	if f.json || f.csv || !isTerminal(io.out) || !isTerminal(io.err) {
		for _, w := range report.Warnings(p) {
			io.warn("%s", w)
		}
	}
	if left := p.LeftOut(); left > 0 {
		return say.Refuse(kindPartly, "", "done, but %s left out", say.CountOf(left, "order was", "orders were"))
	}
	return strictly(f.strict, p.RunWarnings())
}
