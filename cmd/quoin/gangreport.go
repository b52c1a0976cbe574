package main

import (
	"fmt"
	"strings"

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
		io.warnOf(plan)
	}
	warnings := 0
	for _, run := range plan.Runs {
		warnings += len(run.Warnings)
	}
	switch left := plan.LeftOut(); {
	case left > 0:
		return errLeftOut(left)
	case f.strict && warnings > 0:
		return errStrict
	}
	return nil
}

// warnOf tells of orders that are left out and of what to look at.
func (s streams) warnOf(plan *night.Plan) {
	for _, t := range night.Together(plan.Unplanned) {
		switch {
		case t.Names() == "":
			s.warn("a line is left out: %s", t.Text)
		case len(t.Orders) == 1:
			s.warn("order %s is left out: %s", t.Names(), t.Text)
		default:
			s.warn("orders %s are left out: %s", t.Names(), t.Text)
		}
	}
	var look []night.Note
	for _, n := range plan.Notes {
		if n.Warns() {
			look = append(look, n)
		}
	}
	for _, t := range night.Together(look) {
		s.warn("%s", strings.TrimSpace(t.Names()+" "+t.Text))
	}
	for _, run := range plan.Runs {
		for _, w := range run.Warnings {
			s.warn("%s: %s", run.Name, w.Text)
		}
	}
}
