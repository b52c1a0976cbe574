package geometry

import "fmt"

// DrawnCut is what an artwork's own die line says of the upright label.
type DrawnCut struct {
	Name   string  // of the artwork
	Size   Size    // its box
	Radius Length  // of a rectangle's corners; AnyRadius for any other shape
	Area   float64 // mm2
}

// differs warns where the die, with the label at the turn, cuts something else
// than the artwork draws, within DieTolerance: the number of the die may be
// wrong, or the artwork was made for another one. Common practice, no source.
func (c *DrawnCut) differs(d *Die, turn Turn, trim Size) []Reason {
	size, radius, area := d.Size.Turned((4-turn)%4), AnyRadius, d.area()
	switch d.Shape.named() {
	case ShapeRectangle:
		radius = d.Radius
	case ShapeOutline:
		if d.Area == 0 {
			area = c.Area // nobody has measured it
		}
	}
	off := func(a, b Length) bool { return max(a-b, b-a) > DieTolerance }
	same := !off(size.Across, c.Size.Across) && !off(size.Around, c.Size.Around)
	if radius != AnyRadius && c.Radius != AnyRadius {
		same = same && !off(radius, c.Radius)
	} else if same {
		// All round the edge by the tolerance: no more than that of the box.
		edge := 2 * (size.Across + size.Around).MM() * DieTolerance.MM()
		same = max(area-c.Area, c.Area-area) <= edge
	}
	if same {
		return nil
	}
	return []Reason{{CodeDieLineDiffers, fmt.Sprintf("the die line of %s is %s; the trim is %s; the die cuts %s",
		c.Name, shapeText(c.Size, c.Radius, c.Area), trim, shapeText(size, radius, area)),
		"compare the die's number, the order and the artwork"}}
}

func shapeText(size Size, radius Length, area float64) string {
	switch {
	case radius == AnyRadius:
		return fmt.Sprintf("%s, shaped, %.1f mm2", size, area)
	case radius == 0:
		return fmt.Sprintf("%s with sharp corners", size)
	}
	return fmt.Sprintf("%s with a corner radius of %s", size, radius)
}
