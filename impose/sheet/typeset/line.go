package typeset

import (
	"math"

	"github.com/signintech/gopdf"
)

// Point is a place on a page.
type Point struct{ X, Y float64 }

// Pen sets the width of lines, and their dashes; none draws them through.
func (d *Document) Pen(width float64, dashes ...float64) {
	d.pdf.SetLineWidth(width)
	d.pdf.SetGrayStroke(0)
	if dashes == nil {
		dashes = []float64{}
	}
	d.pdf.SetCustomLineType(dashes, 0)
}

// Line draws a line.
func (d *Document) Line(x0, y0, x1, y1 float64) { d.pdf.Line(x0, y0, x1, y1) }

// Rect draws a box's outline with the pen.
func (d *Document) Rect(b Box) { d.pdf.RectFromUpperLeftWithStyle(b.X, b.Y, b.W, b.H, "D") }

// Fill fills a box with the grey.
func (d *Document) Fill(b Box, grey float64) {
	d.Grey(grey)
	d.pdf.RectFromUpperLeftWithStyle(b.X, b.Y, b.W, b.H, "F")
	d.Grey(0)
}

// Shape fills a polygon with the grey; outlined draws its outline with the pen.
func (d *Document) Shape(grey float64, outlined bool, points ...Point) {
	list := make([]gopdf.Point, len(points))
	for i, p := range points {
		list[i] = gopdf.Point{X: p.X, Y: p.Y}
	}
	style := "F"
	if outlined {
		style = "FD"
	}
	d.Grey(grey)
	d.pdf.Polygon(list, style)
	d.Grey(0)
}

// Ellipse returns the points of an arc of an ellipse around a centre, from one
// angle to another, in degrees clockwise from the right as seen on the page.
func Ellipse(x, y, rx, ry, from, to float64) []Point {
	n := max(8, int(math.Abs(to-from)/3))
	list := make([]Point, n+1)
	for i := range list {
		a := (from + (to-from)*float64(i)/float64(n)) * math.Pi / 180
		list[i] = Point{x + rx*math.Cos(a), y + ry*math.Sin(a)}
	}
	return list
}

// Swatch fills a box with a colour of the screen.
func (d *Document) Swatch(b Box, red, green, blue uint8) {
	d.pdf.SetFillColor(red, green, blue)
	d.pdf.RectFromUpperLeftWithStyle(b.X, b.Y, b.W, b.H, "F")
	d.Grey(0)
}

// PenColour sets the colour of lines until Pen is called again.
func (d *Document) PenColour(red, green, blue uint8) { d.pdf.SetStrokeColor(red, green, blue) }

// Path draws a line through points.
func (d *Document) Path(points ...Point) {
	for i := 1; i < len(points); i++ {
		d.pdf.Line(points[i-1].X, points[i-1].Y, points[i].X, points[i].Y)
	}
}

// Arrow fills an arrow from one point to another, its head so wide and twice as
// wide as its shaft.
func (d *Document) Arrow(from, to Point, head float64) {
	dx, dy := to.X-from.X, to.Y-from.Y
	length := math.Hypot(dx, dy)
	if length == 0 {
		return
	}
	dx, dy = dx/length, dy/length
	neck := max(0, length-head)
	at := func(along, aside float64) Point {
		return Point{from.X + along*dx - aside*dy, from.Y + along*dy + aside*dx}
	}
	w := head / 5
	d.Shape(0, false, at(0, w), at(neck, w), at(neck, head/2), at(length, 0), at(neck, -head/2), at(neck, -w), at(0, -w))
}
