package night

import (
	"fmt"

	"quoin/impose/say"
)

// Whole rolls. A lane of a run that ends inside a roll leaves a rest, which is
// waste where rolls may not be spliced. With Rules.WholeRolls every run is as
// long as a whole number of rolls, so that every lane gives whole rolls: orders
// share a run only if their rolls take as many frames, and an order's need is
// that of its rolls, each of which begins with a new repeat.

// reel sets how many frames a lane prints for one roll of the order: 0 where
// its rolls may end anywhere.
func (o *order) reel(r *Rules) {
	per := o.perRoll(r)
	if !r.WholeRolls || r.Mixed || per == 0 {
		return
	}
	if o.limit > 0 && !r.Scrap && o.rolls(per)*per > o.limit {
		o.partRoll = true
		return
	}
	around := int64(o.forme.layout.Around)
	o.roll = (per + around - 1) / around
}

// perRoll gives the labels on a roll as the order says, or the house; 0 when
// nobody says.
func (o *order) perRoll(r *Rules) int64 {
	if o.LabelsPerRoll > 0 {
		return o.LabelsPerRoll
	}
	return r.House.Roll.Labels
}

// rolls gives the rolls that the order fills, the last one in part perhaps.
func (o *order) rolls(per int64) int64 { return (o.Quantity + per - 1) / per }

// need gives the frames of one lane that meet the order, when a lane yields each
// labels in a frame.
func (g *group) need(o *order, each int64, r *Rules) int64 {
	if g.roll > 0 {
		return o.rolls(o.perRoll(r)) * g.roll
	}
	return (o.Quantity + each - 1) / each
}

// aloneFrames gives the frames of the order in a run of its own over all lanes.
func (g *group) aloneFrames(o *order, places, each int64, r *Rules) int64 {
	if g.roll > 0 {
		return (o.rolls(o.perRoll(r)) + places - 1) / places * g.roll
	}
	perFrame := places * each
	return (o.Quantity + perFrame - 1) / perFrame
}

// rests notes the orders that get fewer whole rolls than they have labels for,
// where nobody allows to splice their rests.
func (p *Plan) rests() {
	if s := p.rules.House.Roll.Splices; s != nil && *s || p.rules.Mixed {
		return
	}
	full, parts := map[*order]int64{}, map[*order]int64{}
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			full[s.order] += s.Rolls
			parts[s.order] += s.PartRolls
		}
	}
	orders, rests := 0, int64(0)
	for o, n := range parts {
		if o.LabelsPerRoll > 0 && full[o] < o.Quantity/o.LabelsPerRoll {
			orders++
			rests += n
		}
	}
	if orders > 0 {
		p.Notes = append(p.Notes, Note{"", PartRolls, fmt.Sprintf("lanes of %s end inside a roll: %s in place of whole ones "+
			"(allow splices in the job file, or plan with --rolls whole)", say.Count(orders, "order"), say.Count(int(rests), "part roll"))})
	}
}
