package press

import (
	"quoin/geometry"
	"quoin/impose/draw"
)

// ops builds a content stream.
type ops struct {
	buf []byte
	xy  func(geometry.Position) (x, y float64) // from positions to the content's space
}

// op writes numbers and an operator.
func (c *ops) op(operator string, numbers ...float64) {
	for _, v := range numbers {
		c.buf = append(appendNumber(c.buf, v), ' ')
	}
	c.buf = append(append(c.buf, operator...), '\n')
}

// named writes a resource's name and an operator.
func (c *ops) named(name, operator string) {
	c.buf = append(append(append(append(append(c.buf, '/'), name...), ' '), operator...), '\n')
}

// begin opens content that belongs to a layer, named among the resources. The
// OC key of a form alone is not enough: one of three renderers tried draws a
// form whose layer is off.
func (c *ops) begin(layer string) {
	c.buf = append(c.buf, "/OC "...)
	c.named(layer, "BDC")
}

// path writes a path's construction.
func (c *ops) path(p draw.Path) {
	pts := p.Points
	for _, v := range p.Verbs {
		switch v {
		case draw.MoveTo:
			x, y := c.xy(pts[0])
			c.op("m", x, y)
			pts = pts[1:]
		case draw.LineTo:
			x, y := c.xy(pts[0])
			c.op("l", x, y)
			pts = pts[1:]
		case draw.CurveTo:
			x1, y1 := c.xy(pts[0])
			x2, y2 := c.xy(pts[1])
			x3, y3 := c.xy(pts[2])
			c.op("c", x1, y1, x2, y2, x3, y3)
			pts = pts[3:]
		case draw.Close:
			c.op("h")
		}
	}
}

// tints writes a colour in a named space; fill chooses the operators.
func (c *ops) tints(space string, amounts []float64, fill bool) {
	setSpace, setColour := "CS", "SCN"
	if fill {
		setSpace, setColour = "cs", "scn"
	}
	c.named(space, setSpace)
	c.op(setColour, amounts...)
}
