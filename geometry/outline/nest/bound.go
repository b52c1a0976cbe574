package nest

import (
	"quoin/geometry"
	"quoin/geometry/outline"
)

// bound gives the labels to the metre that no layout can exceed: grown by half
// the gap, labels don't overlap, and all lie in the band grown by as much.
func (p *planner) bound() (float64, string, error) {
	half := min(p.r.Gap.Across, p.r.Gap.Around) / 2
	grown, err := p.shape.Outset(half)
	if err != nil {
		return 0, "", err
	}
	area := 0.0
	for _, part := range grown.Parts() {
		solid, err := outline.New(part.Contours()[0]) // without its holes
		if err != nil {
			return 0, "", err
		}
		area += solid.Area()
	}
	return (p.room() + 2*half).MM() * geometry.Metre.MM() / area, "the area of the labels with their gaps", nil
}
