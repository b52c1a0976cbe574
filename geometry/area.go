package geometry

import "math"

// Shape is the kind of a label's outline.
type Shape string

// The shapes. An empty Shape is a rectangle.
const (
	ShapeRectangle Shape = "rectangle" // with or without round corners
	ShapeCircle    Shape = "circle"
	ShapeEllipse   Shape = "ellipse"
	ShapeOutline   Shape = "outline" // any other, known by its name
)

// Area returns the area of the shape in a box of the given size, with the corner
// radius of a rectangle. An outline's own area is for package outline; here it
// is its box. All in the units of Size.Area.
func (s Shape) Area(size Size, radius Length) float64 {
	switch s {
	case ShapeCircle, ShapeEllipse:
		return math.Pi / 4 * size.Area()
	case ShapeOutline:
		return size.Area()
	}
	// A radius beyond half a side would be more than a round end.
	r := min(radius, size.Across/2, size.Around/2).MM()
	return size.Area() - (4-math.Pi)*r*r
}

// named gives the shape with its name, where it may be left out.
func (s Shape) named() Shape {
	if s == "" {
		return ShapeRectangle
	}
	return s
}

// offers reports whether the shape is the same after a turn of its box, so that a
// die for it takes the label at that turn as well as upright.
func (s Shape) offers(t Turn) bool { return s != ShapeOutline || t == Turn0 }

// Rectangular reports whether the shape is a rectangle, as one that isn't said is.
func (s Shape) Rectangular() bool { return s.named() == ShapeRectangle }
