package plan

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
)

// Lanes turned as their orders need. Where the cut is the same when it is turned,
// orders of different windings share a frame: each lane's artwork stands as its
// winding asks. What no winding binds stands as the first that one does.

// turns lists the turns of the group's labels in degrees, each once.
func (g *group) turns() (list []int) {
	for _, o := range g.orders {
		list = append(list, o.Forme.Layout.Turn.Degrees())
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// turnOf returns the turn of a share's labels.
func (run *Run) turnOf(s Share, house *job.Job) geometry.Turn {
	bound := func(s Share) bool { return s.order.Winding != nil || house.Winding != nil }
	if !bound(s) {
		s = run.Orders[max(slices.IndexFunc(run.Orders, bound), 0)]
	}
	return s.order.Forme.Layout.Turn
}

// turn says of each share how its lanes are turned, where that differs in the group.
func (run *Run) turn(house *job.Job) {
	if len(run.group.turns()) < 2 {
		return
	}
	for i := range run.Orders {
		run.Orders[i].TurnDeg = new(run.turnOf(run.Orders[i], house).Degrees())
	}
}

// windings sets the job of a run to the winding and the turn that all its orders have
// in common or, where they differ, returns those of each artwork.
func (run *Run) windings(j, house *job.Job) (each []*geometry.Winding) {
	of := func(s Share) *geometry.Winding { return s.order.Winding }
	j.Winding = common(run.Orders, of, house.Winding)
	j.Turns = nil
	for _, s := range run.Orders {
		if t := run.turnOf(s, house); !slices.Contains(j.Turns, t) {
			j.Turns = append(j.Turns, t)
		}
		w := of(s)
		if w == nil {
			w = house.Winding
		}
		each = append(each, w)
	}
	if j.Winding != nil || !slices.ContainsFunc(each, func(w *geometry.Winding) bool { return w != nil }) {
		return nil
	}
	return each
}
