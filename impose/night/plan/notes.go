package plan

import (
	"slices"

	"quoin/impose/night"
)

// LeaveOut puts notes of orders that never reached the planner before the
// others.
func (p *Plan) LeaveOut(notes []night.Note) {
	p.Unplanned = append(append([]night.Note{}, notes...), p.Unplanned...)
	if len(notes) > 0 { // the file lists orders, though none that can be taken
		p.Notes = slices.DeleteFunc(p.Notes, func(n night.Note) bool { return n.Code == night.NoOrders })
	}
}

// Tell puts words about the order file before the other notes.
func (p *Plan) Tell(words []night.Note) {
	p.Notes = append(append([]night.Note{}, words...), p.Notes...)
}

// spare drops the doubts about orders that turned out to be beyond any run:
// their reasons say the same, and more.
func (p *Plan) spare() {
	beyond := map[string]bool{}
	for _, n := range p.Unplanned {
		if n.Code == night.TooLarge {
			beyond[n.Order] = true
		}
	}
	p.Notes = slices.DeleteFunc(p.Notes, func(n night.Note) bool { return n.Code == night.LongWeb && beyond[n.Order] })
}

// LeftOut counts the orders in Unplanned, each once.
func (p *Plan) LeftOut() int {
	seen := map[string]bool{}
	unnamed := 0
	for _, n := range p.Unplanned {
		if n.Order == "" {
			unnamed++
		}
		seen[n.Order] = true
	}
	delete(seen, "")
	return len(seen) + unnamed
}

// RunWarnings counts those of the runs.
func (p *Plan) RunWarnings() int {
	n := 0
	for i := range p.Runs {
		n += len(p.Runs[i].Warnings)
	}
	return n
}
