package main

import (
	"fmt"

	"quoin/impose/night"
)

// report prints the plan and what was left out.
func (f *gangFlags) report(io streams, plan *night.Plan) error {
	var err error
	if f.json {
		err = printJSON(io.out, plan)
	} else {
		err = plan.Text(io.out)
	}
	if err != nil {
		return fmt.Errorf("printing the plan: %w", err)
	}
	// A person at a terminal has just read all of it in the report.
	if f.json || !isTerminal(io.out) || !isTerminal(io.err) {
		for _, w := range plan.Warnings() {
			io.warn("%s", w)
		}
	}
	switch left := plan.LeftOut(); {
	case left > 0:
		return errLeftOut(left)
	case f.strict && plan.RunWarnings() > 0:
		return errStrict
	}
	return nil
}
