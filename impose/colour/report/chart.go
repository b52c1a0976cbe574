package report

import (
	"cmp"
	"math"
	"slices"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// chart is lines over two axes, for SVG and PDF alike.
type chart struct {
	title, x  string // what y shows is told in the title
	lines     []line
	limit     float64 // drawn dashed across; 0 for none
	right     float64 // where x ends
	low, high float64 // of y
}

// line is one of a chart's.
type line struct {
	name   string
	lab    cielab.Lab // whose colour it has
	dashed bool       // an aim
	points [][2]float64
}

// span sets the ends of y so that all is seen, at whole steps.
func (c *chart) span() {
	c.low, c.high = 0, max(1, c.limit*1.15)
	for _, l := range c.lines {
		for _, p := range l.points {
			c.low, c.high = min(c.low, p[1]), max(c.high, p[1])
		}
	}
	step := niceStep(c.high - c.low)
	c.low, c.high = math.Floor(c.low/step)*step, math.Ceil(c.high/step-1e-9)*step
	if c.right <= 0 {
		c.right = 1
	}
}

// niceStep returns a step of 1, 2 or 5 that divides a range into at most six.
func niceStep(span float64) float64 {
	if !(span > 0) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(span/6)))
	for _, m := range []float64{1, 2, 5, 10} {
		if span/(p*m) <= 6 {
			return p * m
		}
	}
	return 10 * p
}

// ticks returns the marks of an axis.
func ticks(low, high float64) []float64 {
	var out []float64
	step := niceStep(high - low)
	for i := math.Ceil(low/step - 1e-9); i*step <= high+step*1e-6; i++ {
		out = append(out, i*step)
	}
	return out
}

// label is a line's name at its end.
type label struct {
	name string
	lab  cielab.Lab
	y    float64 // 0 at the top, 1 at the bottom
}

// labels returns the names of all lines but aims, kept apart by at least a gap.
func (c *chart) labels(gap float64) []label {
	var out []label
	for _, l := range c.lines {
		if n := len(l.points); n > 0 && !l.dashed {
			out = append(out, label{l.name, l.lab, 1 - (l.points[n-1][1]-c.low)/(c.high-c.low)})
		}
	}
	slices.SortStableFunc(out, func(a, b label) int { return cmp.Compare(a.y, b.y) })
	for i := 1; i < len(out); i++ {
		out[i].y = max(out[i].y, out[i-1].y+gap)
	}
	// What was pushed out at the bottom pushes back.
	for i := len(out) - 1; i >= 0; i-- {
		most := 1.0
		if i < len(out)-1 {
			most = out[i+1].y - gap
		}
		out[i].y = min(out[i].y, most)
	}
	return out
}

// at places a point, 0 to 1 from the top left.
func (c *chart) at(p [2]float64) (x, y float64) {
	return p[0] / c.right, 1 - (p[1]-c.low)/(c.high-c.low)
}

// inkColour returns a colour that a line of an ink can be seen in on white: its
// own, darkened where it is light.
func inkColour(c cielab.Lab) (r, g, b uint8) {
	if c.L > 62 {
		k := 62 / c.L
		c = cielab.Lab{L: 62, A: c.A * k, B: c.B * k}
	}
	return c.SRGB()
}

// number and one show no minus before a zero.
func number(v float64) string { return say.Plain(v, 2) }
func one(v float64) string    { return say.Fixed(v, 1) }
