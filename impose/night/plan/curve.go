package plan

import (
	"context"

	"quoin/geometry/gang"
)

// CurvePart says for one group what each further set-up would buy.
type CurvePart struct {
	Group  int          `json:"group"`
	Points []CurvePoint `json:"points"`
}

// CurvePoint is the least web that was found for a number of runs.
type CurvePoint struct {
	Runs       int     `json:"runs"`
	WebNetM    float64 `json:"web_net_m"`
	WebM       float64 `json:"web_m"` // with run waste and make-ready
	PressMin   float64 `json:"press_min"`
	GapPercent float64 `json:"gap_percent"` // of the net web, above the bound
	Proved     bool    `json:"proved"`
	Chosen     bool    `json:"chosen"` // as many runs as the plan has
}

// beyond is how many more runs than the plan has a curve looks at.
const beyond = 3

// Curves draws runs against metres for every group of more than one order.
func (p *Plan) Curves(ctx context.Context) error {
	var several []int
	for i, g := range p.groups {
		if len(g.orders) > 1 {
			several = append(several, i)
		}
	}
	p.Curve = []CurvePart{}
	for n, i := range several {
		g := p.groups[i]
		problem, _ := g.problem(p.rules)
		steps := max(cores*gang.StepsFor(p.rules.Time)/int64(len(several)), 1)
		points, err := gang.Curve(ctx, problem, len(g.plan.Runs)+beyond, gang.Limits{Steps: steps, Seed: p.rules.Seed})
		if err := ctx.Err(); err != nil {
			return err
		}
		if err != nil {
			return err
		}
		part := CurvePart{Group: i + 1}
		for _, pt := range points {
			if n := len(part.Points); n > 0 && part.Points[n-1].Runs == len(pt.Plan.Runs) {
				continue // one more set-up buys nothing
			}
			takes := g.takes(&pt.Plan)
			part.Points = append(part.Points, CurvePoint{
				Runs: len(pt.Plan.Runs), WebNetM: takes.net.Metres(), WebM: takes.gross.Metres(), PressMin: takes.minutes,
				GapPercent: pt.GapPercent, Proved: pt.Proved, Chosen: len(pt.Plan.Runs) == len(g.plan.Runs),
			})
		}
		p.Curve = append(p.Curve, part)
		p.rules.Progress("curves", n+1, len(several))
	}
	return nil
}
