package night

import (
	"encoding/json"
	"fmt"
	"strings"

	"quoin/impose/night/folder"
)

// Warnings says what a person must look at: orders that are left out, and what
// may be wrong with others or with runs.
func (p *Plan) Warnings() []string {
	var out []string
	for _, t := range Together(p.Unplanned) {
		switch {
		case t.Names() == "":
			out = append(out, "a line is left out: "+t.Text)
		case len(t.Orders) == 1:
			out = append(out, fmt.Sprintf("order %s is left out: %s", t.Names(), t.Text))
		default:
			out = append(out, fmt.Sprintf("orders %s are left out: %s", t.Names(), t.Text))
		}
	}
	var look []Note
	for _, n := range p.Notes {
		if n.Warns() {
			look = append(look, n)
		}
	}
	for _, t := range Together(look) {
		out = append(out, strings.TrimSpace(t.Names()+" "+t.Text))
	}
	for _, run := range p.Runs {
		for _, w := range run.Warnings {
			out = append(out, run.Name+": "+w.Text)
		}
	}
	return out
}

// RunWarnings counts those of the runs.
func (p *Plan) RunWarnings() int {
	n := 0
	for i := range p.Runs {
		n += len(p.Runs[i].Warnings)
	}
	return n
}

// ReadPlan reads the plan of a finished night.
func ReadPlan(f *folder.Folder) (*Plan, error) {
	file, err := f.Open(PlanFile)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	var plan Plan
	if err := json.NewDecoder(file).Decode(&plan); err != nil {
		return nil, fmt.Errorf("reading the plan of the finished night: %w", err)
	}
	return &plan, nil
}
