package report

import (
	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// Pinned says what the planner asked for of single orders, a line for each wish.
func Pinned(p *plan.Plan) (lines []string) {
	if p.Pins == nil {
		return nil
	}
	for _, set := range p.Pins.Together {
		lines = append(lines, say.List(set)+" in one run")
	}
	for _, set := range p.Pins.Apart {
		lines = append(lines, say.List(set)+" in different runs")
	}
	if out := p.Pins.TakenOut; len(out) > 0 {
		lines = append(lines, say.List(out)+" taken out of the night")
	}
	return lines
}
