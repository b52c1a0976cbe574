package geometry

import (
	"fmt"
	"testing"
)

func TestShapeAreas(t *testing.T) {
	size := mustSize(t, "50x75mm")
	for _, c := range []struct {
		id     string
		shape  Shape
		size   string
		radius string
		area   string
	}{
		{"TV-G19", ShapeRectangle, "50x75mm", "3mm", "3742.274"}, // w h - (4 - pi) r^2, arithmetic
		{"square corners", "", "50x75mm", "0mm", "3750.000"},
		{"round ends", "", "50x75mm", "25mm", "3213.495"}, // 50 x 25 and a circle of 50
		{"radius beyond the ends", "", "50x75mm", "40mm", "3213.495"},
		{"circle", ShapeCircle, "40x40mm", "0mm", "1256.637"}, // pi 20^2
		{"ellipse", ShapeEllipse, "50x75mm", "0mm", "2945.243"},
		{"outline", ShapeOutline, "50x75mm", "3mm", "3750.000"},
	} {
		is(t, c.id, fmt.Sprintf("%.3f", c.shape.Area(mustSize(t, c.size), mustLength(t, c.radius))), c.area)
	}
	// The same circle by either name.
	is(t, "full radius", fmt.Sprintf("%.6f", ShapeRectangle.Area(Size{size.Across, size.Across}, size.Across/2)),
		fmt.Sprintf("%.6f", ShapeCircle.Area(Size{size.Across, size.Across}, 0)))
}
