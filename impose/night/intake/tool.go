package intake

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/job"
	"quoin/impose/night"
)

// Cut returns the line of the order's upright label, its box at the origin; empty
// where its artwork was not read, or says no more than a rectangle.
func (o *Order) Cut() outline.Outline {
	if o.brings == nil {
		return outline.Outline{}
	}
	return o.brings.Cut
}

// ToolWish is what the order's label wants of a tool to be made, for so many inks on
// a house's job; the errors are those of job.Job.Wish.
func (o *Order) ToolWish(house *job.Job, inks int) (geometry.Wish, error) {
	j := *asks(o, house, o.Forme.Label, o.brings)
	j.Die, j.Shape = "", o.Forme.Shape
	w, err := j.Wish(o.Forme.Label, inks)
	if err == nil && o.brings != nil && !o.brings.Cut.Empty() {
		o.brings.Shape(&w)
		w.Area = o.brings.Cut.Area()
	}
	return w, err
}

// tried lets the line that a tool to be made would cut stand for its drawing.
func tried(t *night.Trial, label outline.Outline, match geometry.Matcher) geometry.Matcher {
	if t.Cut.Empty() || match == nil {
		return match
	}
	return func(d *geometry.Die, turn geometry.Turn) (geometry.CutMatch, bool) {
		if d.Number != t.Die {
			return match(d, turn)
		}
		return geometry.CutMatch{Off: outline.Compare(label.Turned(turn).At(geometry.Position{}), t.Cut).Deviation}, true
	}
}
