package contour

import (
	"math"
	"testing"

	"quoin/geometry/outline"
	"quoin/impose/draw"
)

// TestPath measures the path to draw: made an outline again, it is the same to
// a millionth.
func TestPath(t *testing.T) {
	for name, o := range shapes(t) {
		p := Path(o)
		var contours []outline.Contour
		points := p.Points
		for _, v := range p.Verbs {
			var c *outline.Contour
			if len(contours) > 0 {
				c = &contours[len(contours)-1]
			}
			switch v {
			case draw.MoveTo:
				contours = append(contours, outline.Contour{Start: points[0]})
				points = points[1:]
			case draw.LineTo:
				c.Line(points[0])
				points = points[1:]
			case draw.CurveTo:
				c.Curve(points[0], points[1], points[2])
				points = points[3:]
			case draw.Close:
				c.Close()
			}
		}
		if len(points) > 0 {
			t.Errorf("%s: %d points left over", name, len(points))
		}
		got, err := outline.New(contours...)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		alike(t, name, got, o, 3)
		if math.Signbit(got.Area()) {
			t.Errorf("%s: the path turns the wrong way", name)
		}
	}
}
