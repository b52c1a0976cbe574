package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/geometry/outline/nest"
	"quoin/impose/contour"
	"quoin/impose/draw"
)

// layNested lays shaped labels as close as their outlines allow.
func (im *Imposition) layNested(r geometry.Request) (*geometry.Layout, error) {
	shape, err := im.labelOutline(r.Label)
	if err != nil {
		return nil, err
	}
	request := nest.Request{Web: r.Web, Shape: shape, Gap: r.Gap, Bleed: r.Bleed, Repeat: r.Repeat, Turns: im.Job.NestTurns()}
	if im.Job.NestApart {
		request.Seam = nest.Apart
	}
	found, err := nest.Plan(request)
	if err != nil {
		return nil, err
	}
	im.nested = found.Best()
	if im.Job.Mirror && im.nested.Layout.Shaped {
		return nil, &LaneError{"labels that reach into each other's boxes can't be laid for the second surface: their mirrored outlines may fit otherwise",
			"print on the first surface, or lay them in a straight grid"}
	}
	im.notes = append(im.notes, Warning{"nested", found.Compare(im.nested)})
	if s := im.nested.Slitting; !s.Straight {
		im.warn("slitting", "%s", s.Text)
	}
	if n := im.nested.Turned(); n > 0 {
		im.warn("turned-labels", "%d of %d labels stand upside down against the others, and lead with the other edge on their rolls: "+
			"say the winding, or nest-upright, where that matters", n, im.nested.Layout.Labels())
	}
	im.notes = append(im.notes, Warning{"seam", im.nested.Seam()})
	return im.nested.Layout, nil
}

// straight tells whether every lane can be slit on its own.
func (im *Imposition) straight() bool { return im.nested == nil || im.nested.Slitting.Straight }

// pattern names how the labels stand.
func (im *Imposition) pattern() nest.Pattern {
	if im.nested == nil {
		return nest.Straight
	}
	return im.nested.Pattern
}

// clips gives the path that each station is clipped to: its box, or the label's
// outline with bleed where boxes would reach over neighbours.
func (im *Imposition) clips() ([]draw.Path, error) {
	l := im.Seen()
	if l.Shaped {
		paths, err := contour.Clips(im.upright, l)
		if err != nil {
			return nil, fmt.Errorf("the bleed along the label's outline: %w", err)
		}
		return paths, nil
	}
	paths := make([]draw.Path, len(l.Station))
	for i, s := range l.Station {
		paths[i] = draw.Rectangle(s.Clip)
	}
	return paths, nil
}

// shifts gives the moves at which a station is painted: in its place, and where
// a label stands across the seam, at the frame's other end too.
func (im *Imposition) shifts(s geometry.Station) []geometry.Size {
	moves := []geometry.Size{{}}
	for _, around := range im.Layout.Shifts(s) {
		moves = append(moves, geometry.Size{Around: around})
	}
	return moves
}
