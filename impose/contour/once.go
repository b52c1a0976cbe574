package contour

import (
	"quoin/geometry"
	"quoin/geometry/outline"
)

// once drops contours that lie on one before within the tolerance, wherever they
// begin, whichever way they run and of whatever lines they are made: a knife
// would cut twice.
func (d *Drawing) once(found []closed, tolerance geometry.Length) []closed {
	boxes := make([]geometry.Box, 0, len(found))
	wholes := make([]outline.Outline, 0, len(found))
	kept := found[:0:0]
	for _, c := range found {
		o, err := outline.New(c.Contour)
		if err != nil { // the outline of all tells what is wrong with it
			kept = append(kept, c)
			boxes, wholes = append(boxes, geometry.Box{}), append(wholes, outline.Outline{})
			continue
		}
		box, twice := o.Bounds(), false
		for i, b := range boxes {
			if !wholes[i].Empty() && b.Outset(tolerance).Contains(box) && box.Outset(tolerance).Contains(b) &&
				outline.Compare(wholes[i], o).Within(tolerance) {
				twice = true
				break
			}
		}
		if twice {
			d.skip(thing{noun: "contour", behind: " drawn twice"})
			continue
		}
		kept = append(kept, c)
		boxes, wholes = append(boxes, box), append(wholes, o)
	}
	return kept
}
