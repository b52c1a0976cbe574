package impose

import (
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/summary"
)

// sumRolls cuts the lanes of each product into rolls.
func sumRolls(p *Planned, lanes []summary.Lane) ([]summary.Roll, error) {
	parts := []summary.Roll{}
	for i, a := range p.Job.Artworks {
		each := p.perRoll[i]
		if each == 0 || !job.Ordered(p.Job) {
			continue
		}
		rule := rollRule(p.Job, p.Layout, i)
		web := geometry.Length(each) * rowPitch(p.Layout)
		var pieces []geometry.Piece
		var mixed []int
		for _, l := range lanes {
			if l.Artwork == i+1 {
				pieces = append(pieces, geometry.Piece{Lane: l.Lane, Labels: l.Labels})
			} else if slices.Contains(l.Artworks, i+1) {
				mixed = append(mixed, l.Lane)
			}
		}
		count, err := geometry.CountRolls(pieces, each, rule.Splices)
		if err != nil {
			return nil, fmt.Errorf("the rolls of %s: %w", a.File, err)
		}
		if p.Job.Roll.NewRepeat {
			newRepeats(count, int64(p.Layout.Around), each)
		}
		roll := summary.Roll{
			Artwork: i + 1, LabelsPerRoll: each, WebM: web.Metres(), CoreMM: rule.Core.MM(),
			Ordered: geometry.RollsFor(a.Quantity, each), Full: count.Rolls(), Splices: count.Splices(),
			ChangeOver: changeOvers(p),
			Lanes:      []summary.LaneRoll{}, Mixed: mixed, Spliced: [][]summary.Piece{}, Parts: sumPieces(count.Parts),
		}
		if rule.Check() == nil {
			roll.DiameterMM = rule.Diameter(web).MM()
		}
		for _, l := range count.Lanes {
			roll.Lanes = append(roll.Lanes, summary.LaneRoll{Lane: l.Lane, Labels: l.Labels, Full: l.Full, Rest: l.Rest})
		}
		for _, pieces := range count.Spliced {
			roll.Spliced = append(roll.Spliced, sumPieces(pieces))
		}
		parts = append(parts, roll)
	}
	return parts, nil
}

// newRepeats counts rolls of which each begins with a new repeat: what is left of
// the last repeat of each comes off with its end, and makes no other roll.
func newRepeats(c *geometry.RollCount, rows, each int64) {
	frames := (each + rows - 1) / rows
	c.Full, c.Parts, c.Spliced = 0, nil, nil
	for i := range c.Lanes {
		l := &c.Lanes[i]
		l.Full = l.Labels / rows / frames
		l.Rest = l.Labels - l.Full*each
		c.Full += l.Full
	}
}

// trim counts the labels that come off with the ends of rolls: nobody gets them,
// so they are no overs.
func trim(j *job.Job, artworks []summary.Artwork, rolls []summary.Roll, run *summary.Usage) {
	if !j.Roll.NewRepeat {
		return
	}
	for _, r := range rolls {
		a := &artworks[r.Artwork-1]
		for _, l := range r.Lanes {
			a.Trimmed += l.Rest
		}
		a.Overs -= a.Trimmed
		run.Trimmed += a.Trimmed
		run.Overs -= a.Trimmed
	}
}

func sumPieces(pieces []geometry.Piece) []summary.Piece {
	parts := make([]summary.Piece, len(pieces))
	for i, p := range pieces {
		parts[i] = summary.Piece{Lane: p.Lane, Labels: p.Labels}
	}
	return parts
}
