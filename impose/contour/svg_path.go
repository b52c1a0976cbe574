package contour

import (
	"fmt"
	"math"
	"strconv"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// pen draws in user units and keeps what it drew in nanometres.
type pen struct {
	to     transform
	pieces []piece
	open   *outline.Contour // being drawn
	x, y   float64          // where the pen is
	sx, sy float64          // where the contour began
	far    bool             // something lies out of reach
}

// place turns user units into a position.
func (p *pen) place(x, y float64) geometry.Position {
	nx, ny := p.to.point(x, y)
	if limit := float64(outline.Reach); !(math.Abs(nx) <= limit && math.Abs(ny) <= limit) {
		p.far = true
		return geometry.Position{}
	}
	return geometry.Position{Across: geometry.Length(math.Round(nx)), Around: geometry.Length(math.Round(ny))}
}

func (p *pen) move(x, y float64) {
	p.lift(false)
	p.x, p.y, p.sx, p.sy = x, y, x, y
}

// contour returns the contour at hand, begun here if there is none.
func (p *pen) contour() *outline.Contour {
	if p.open == nil {
		p.open = &outline.Contour{Start: p.place(p.x, p.y)}
		p.sx, p.sy = p.x, p.y
	}
	return p.open
}

func (p *pen) lineTo(x, y float64) {
	p.contour().Line(p.place(x, y))
	p.x, p.y = x, y
}

func (p *pen) curve(x1, y1, x2, y2, x, y float64) {
	p.contour().Curve(p.place(x1, y1), p.place(x2, y2), p.place(x, y))
	p.x, p.y = x, y
}

// arc goes along an ellipse to x, y, by SVG 1.1 appendix F.6.
func (p *pen) arc(rx, ry, tilt float64, large, sweep bool, x, y float64) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 || x == p.x && y == p.y {
		p.lineTo(x, y)
		return
	}
	sin, cos := math.Sincos(tilt * math.Pi / 180)
	// Half the chord in the ellipse's own axes.
	hx, hy := (p.x-x)/2, (p.y-y)/2
	ux, uy := (cos*hx+sin*hy)/rx, (cos*hy-sin*hx)/ry
	if n := math.Hypot(ux, uy); n > 1 { // too small to reach: made just large enough
		rx, ry, ux, uy = rx*n, ry*n, ux/n, uy/n
	}
	// The centre of the unit circle through (ux, uy) and (-ux, -uy).
	n := math.Hypot(ux, uy)
	k := math.Sqrt(max(1-n*n, 0)) / n
	if large == sweep {
		k = -k
	}
	mx, my := k*uy, -k*ux
	from := math.Atan2(uy-my, ux-mx)
	turn := math.Atan2(-uy-my, -ux-mx) - from
	if sweep && turn <= 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn >= 0 {
		turn -= 2 * math.Pi
	}
	ax, ay, bx, by := rx*cos, rx*sin, -ry*sin, ry*cos
	cx, cy := (p.x+x)/2+mx*ax+my*bx, (p.y+y)/2+mx*ay+my*by
	p.elliptic(cx, cy, ax, ay, bx, by, from, turn, x, y)
	p.x, p.y = x, y
}

// elliptic goes along centre + a cos t + b sin t, as circular arcs where the
// axes stay square and alike, in halves so that no bulge is larger than 1.
func (p *pen) elliptic(cx, cy, ax, ay, bx, by, from, turn, x, y float64) {
	c := p.contour()
	end := p.place(x, y)
	even, mirrored := p.to.keepsCircles()
	if round := math.Abs(math.Hypot(ax, ay)-math.Hypot(bx, by)) <= 1e-9*math.Hypot(ax, ay); round && even {
		bulge := math.Tan(turn / 8)
		if mirrored {
			bulge = -bulge
		}
		sin, cos := math.Sincos(from + turn/2)
		c.Arc(p.place(cx+ax*cos+bx*sin, cy+ay*cos+by*sin), bulge)
		c.Arc(end, bulge)
		return
	}
	reach := math.Abs(ax) + math.Abs(ay) + math.Abs(bx) + math.Abs(by)
	p.place(cx-reach, cy-reach) // out of reach?
	p.place(cx+reach, cy+reach)
	if p.far {
		return
	}
	t := p.to
	ox, oy := t.point(cx, cy)
	e := outline.EllipseArc(ox, oy, t.a*ax+t.c*ay, t.b*ax+t.d*ay, t.a*bx+t.c*by, t.b*bx+t.d*by, from, from+turn)
	e.Segments[len(e.Segments)-1].To = end
	c.Segments = append(c.Segments, e.Segments...)
}

// lift ends the contour at hand.
func (p *pen) lift(close bool) {
	if p.open != nil && len(p.open.Segments) > 0 {
		if close {
			p.open.Close()
		}
		p.pieces = append(p.pieces, piece{Contour: *p.open, closed: close})
	}
	p.open = nil
	if close {
		p.x, p.y = p.sx, p.sy
	}
}

func (p *pen) done() []piece {
	p.lift(false)
	return p.pieces
}

// basic draws the plain shapes, SVG 1.1 chapter 9.
func (p *pen) basic(name string, v map[string]float64) {
	switch name {
	case "line":
		p.move(v["x1"], v["y1"])
		p.lineTo(v["x2"], v["y2"])
	case "circle":
		p.ellipse(v["cx"], v["cy"], v["r"], v["r"])
	case "ellipse":
		p.ellipse(v["cx"], v["cy"], v["rx"], v["ry"])
	case "rect":
		rx, hasX := v["rx"]
		ry, hasY := v["ry"]
		if !hasX {
			rx = ry
		}
		if !hasY {
			ry = rx
		}
		p.rect(v["x"], v["y"], v["width"], v["height"], min(rx, v["width"]/2), min(ry, v["height"]/2))
	}
}

func (p *pen) ellipse(cx, cy, rx, ry float64) {
	if rx <= 0 || ry <= 0 {
		return // draws nothing, by the standard
	}
	p.move(cx-rx, cy)
	p.arc(rx, ry, 0, false, true, cx+rx, cy)
	p.arc(rx, ry, 0, false, true, cx-rx, cy)
	p.lift(true)
}

func (p *pen) rect(x, y, w, h, rx, ry float64) {
	if w <= 0 || h <= 0 {
		return
	}
	if rx <= 0 || ry <= 0 {
		rx, ry = 0, 0
	}
	p.move(x+rx, y)
	side := func(toX, toY, cornerX, cornerY float64) {
		if toX != p.x || toY != p.y {
			p.lineTo(toX, toY)
		}
		if rx > 0 {
			p.arc(rx, ry, 0, false, true, cornerX, cornerY)
		}
	}
	side(x+w-rx, y, x+w, y+ry)
	side(x+w, y+h-ry, x+w-rx, y+h)
	side(x+rx, y+h, x, y+h-ry)
	side(x, y+ry, x+rx, y)
	p.lift(true)
}

// points draws the corners of a polygon or polyline.
func (p *pen) points(text string, close bool) error {
	s := scanner{text: text}
	for first := true; ; first = false {
		x, ok := s.number()
		if !ok {
			break
		}
		y, ok := s.number()
		if !ok {
			return fmt.Errorf("it has an odd count of numbers")
		}
		if first {
			p.move(x, y)
		} else {
			p.lineTo(x, y)
		}
	}
	if !s.finished() {
		return s.stuck()
	}
	p.lift(close)
	return nil
}

// scanner reads numbers, flags and letters of SVG's compact notation.
type scanner struct {
	text string
	at   int
}

func (s *scanner) space() {
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ' ', '\t', '\r', '\n', '\f', ',':
			s.at++
		default:
			return
		}
	}
}

func (s *scanner) finished() bool {
	s.space()
	return s.at == len(s.text)
}

func (s *scanner) stuck() error {
	return fmt.Errorf("%q stands where a number or a command is needed", clip(s.text[s.at:]))
}

// number reads the longest number at hand: "1.5.5" is 1.5 and .5, "1-2" is 1
// and -2.
func (s *scanner) number() (float64, bool) {
	s.space()
	i := s.at
	digits := func() (n int) {
		for i < len(s.text) && s.text[i] >= '0' && s.text[i] <= '9' {
			i, n = i+1, n+1
		}
		return n
	}
	if i < len(s.text) && (s.text[i] == '-' || s.text[i] == '+') {
		i++
	}
	n := digits()
	if i < len(s.text) && s.text[i] == '.' {
		i++
		n += digits()
	}
	if n == 0 {
		return 0, false
	}
	if mark := i; i < len(s.text) && (s.text[i] == 'e' || s.text[i] == 'E') {
		i++
		if i < len(s.text) && (s.text[i] == '-' || s.text[i] == '+') {
			i++
		}
		if digits() == 0 {
			i = mark
		}
	}
	v, err := strconv.ParseFloat(s.text[s.at:i], 64)
	if err != nil {
		return 0, false // beyond all numbers
	}
	s.at = i
	return v, true
}

// flag reads a 0 or 1, which need no space behind them.
func (s *scanner) flag() (value, ok bool) {
	s.space()
	if s.at < len(s.text) && (s.text[s.at] == '0' || s.text[s.at] == '1') {
		s.at++
		return s.text[s.at-1] == '1', true
	}
	return false, false
}

// command reads a letter, if there is one.
func (s *scanner) command() (byte, bool) {
	s.space()
	if s.at < len(s.text) {
		if c := s.text[s.at]; c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' {
			s.at++
			return c, true
		}
	}
	return 0, false
}
