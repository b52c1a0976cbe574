package intake

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose"
)

// cutList holds the cuts that labels are known to have.
type cutList []outline.Outline

// number returns the number of the cut that an artwork asks for, from 1: one for
// all rectangles with the same corners, whatever their size, and one for each
// other outline. 0 is a plain box, as that of an artwork that was not read.
func (l *cutList) number(brings *impose.Survey) int {
	if brings == nil || brings.Cut.Empty() {
		return 0
	}
	radius, round := brings.Cut.CornerRadius(geometry.DieTolerance)
	if round && radius == 0 {
		return 0
	}
	for i, c := range *l {
		r, also := c.CornerRadius(geometry.DieTolerance)
		if round && also && max(radius-r, r-radius) <= geometry.DieTolerance ||
			!round && !also && outline.Compare(brings.Cut, c).Within(geometry.DieTolerance) {
			return i + 1
		}
	}
	*l = append(*l, brings.Cut)
	return len(*l)
}
