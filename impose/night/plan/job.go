package plan

import (
	"fmt"
	"path/filepath"
	"strings"

	"quoin/geometry"
	"quoin/impose/job"
)

// Job returns the job that imposes a run: its artworks in their lanes from the
// left, in the order of the run, and blank lanes at the right.
func (p *Plan) Job(run *Run) *job.Job {
	house := p.rules.House
	j := run.group.forme().Job(house)
	j.Dir = filepath.Dir(run.Orders[0].order.At("order").Path)
	j.Name = strings.TrimSpace(fmt.Sprintf("%s %s", p.Night, run.Name))
	if kind := run.group.stock; kind != house.Material.Kind {
		// Name and caliper are of the house's material and of no other.
		j.Material = job.Material{Kind: kind}
	}
	j.Run.Frames, j.Roll.NewRepeat = run.Frames, run.group.roll > 0
	j.Run.Overs = nil // what the customer takes, not what is added
	windings := run.windings(j, house)
	differ := widthsDiffer(run.group)
	if differ {
		j.Label, j.Lanes = geometry.Size{}, 0 // each artwork's own, and as many as they take
	}
	for i, s := range run.Orders {
		a := job.Artwork{
			File: s.order.Artwork, Page: s.order.Page, Product: s.order.Title(), Quantity: max(s.Ordered, 1),
			LaneCount: int(s.Lanes), DrugLabel: s.order.DrugLabel,
			LabelsPerRoll: s.order.LabelsPerRoll, Splices: s.order.Splices, Password: s.order.Password, PermittedBy: s.order.PermittedBy,
		}
		if windings != nil {
			a.Winding = windings[i]
		}
		if differ {
			a.Label = s.order.Forme.Label
		}
		if s.Lanes == 0 {
			a.StationCount = int(s.Stations)
		}
		j.Artworks = append(j.Artworks, a)
	}
	return j
}

// Title is what a run's files call the order of a share.
func (s Share) Title() string { return s.order.Title() }

// common returns what all shares say alike, or what the house says for those that
// say nothing; nil when they differ.
func common[T comparable](shares []Share, of func(Share) *T, house *T) *T {
	var all *T
	for i, s := range shares {
		one := of(s)
		if one == nil {
			one = house
		}
		if one == nil || i > 0 && *one != *all {
			return nil
		}
		all = one
	}
	return all
}
