package impose

import (
	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/summary"
	"quoin/impose/vary"
)

// changes are the change-over labels of a run of variable data; nil where there
// are none.
type changes struct{ order vary.Order }

// changeOvers returns how many change-over labels stand between two rolls of a
// lane.
func changeOvers(p *Planned) int64 {
	if d := p.Job.Data; d != nil && d.ChangeOver != nil && job.Ordered(p.Job) && len(p.Job.Artworks) == 1 && p.perRoll[0] > 0 {
		return d.ChangeOver.Labels
	}
	return 0
}

// newChanges works out how many frames the order takes with its change-over
// labels, and makes that the least that the terms allow.
func newChanges(p *Planned, demands []geometry.Demand, terms *geometry.Terms) *changes {
	each := changeOvers(p)
	if each == 0 {
		return nil
	}
	c := &changes{vary.Order{Rows: p.Layout.Around, PerRoll: p.perRoll[0], Records: terms.Overs.More(demands[0].Quantity), Change: each}}
	for lane, art := range p.lanes {
		if art >= 0 {
			c.order.Lanes = append(c.order.Lanes, lane+1)
		}
	}
	terms.Frames = max(c.order.Frames(), terms.Frames)
	return c
}

// take counts the change-over labels out of what is made: they are nobody's.
func (c *changes) take(p *Planned, artworks []summary.Artwork, lanes []summary.Lane, run *summary.Usage) {
	if c == nil {
		return
	}
	for lane, number := range c.order.Lanes {
		lost := c.order.ChangesIn(lane)
		lanes[number-1].Labels -= lost
		run.ChangeOvers += lost
		run.ChangeOverM = max(run.ChangeOverM, (geometry.Length(lost) * rowPitch(p.Layout)).Metres())
	}
	artworks[0].Labels -= run.ChangeOvers
	artworks[0].Overs -= run.ChangeOvers
	run.Labels -= run.ChangeOvers
	run.Overs -= run.ChangeOvers
}
