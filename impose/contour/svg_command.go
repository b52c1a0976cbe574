package contour

import "fmt"

// path draws the commands of a path's d, SVG 1.1 section 8.3.
func (p *pen) path(d string) error {
	s := scanner{text: d}
	var c byte
	var last curveEnd
	begun := false
	for !s.finished() {
		letter, given := s.command()
		switch {
		case given:
			c = letter
		case c == 0 || c == 'Z' || c == 'z':
			return s.stuck()
		}
		if !begun && c != 'M' && c != 'm' {
			return fmt.Errorf("it begins with %q, not with M", string(c))
		}
		begun = true
		next, err := p.command(&s, c, last)
		if err != nil {
			return err
		}
		last = next
		// More numbers behind a move are lines.
		switch c {
		case 'M':
			c = 'L'
		case 'm':
			c = 'l'
		}
	}
	return nil
}

// curveEnd is the control point that S and T mirror.
type curveEnd struct {
	cubic, quadratic bool
	x, y             float64
}

// counts are the numbers that each command takes.
var counts = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

func (p *pen) command(s *scanner, c byte, last curveEnd) (curveEnd, error) {
	relative := c >= 'a'
	upper := c
	if relative {
		upper -= 'a' - 'A'
	}
	n, known := counts[upper]
	if !known {
		return last, fmt.Errorf("%q is no command", string(c))
	}
	var v [7]float64
	var flags [2]bool
	for i := range n {
		var ok bool
		if upper == 'A' && (i == 3 || i == 4) {
			flags[i-3], ok = s.flag()
		} else {
			v[i], ok = s.number()
		}
		if !ok {
			return last, fmt.Errorf("the command %q needs %d numbers", string(c), n)
		}
	}
	if relative {
		switch upper {
		case 'H':
			v[0] += p.x
		case 'V':
			v[0] += p.y
		case 'A':
			v[5], v[6] = v[5]+p.x, v[6]+p.y
		default:
			for i := 0; i < n; i += 2 {
				v[i], v[i+1] = v[i]+p.x, v[i+1]+p.y
			}
		}
	}
	var end curveEnd
	x, y := p.x, p.y
	switch upper {
	case 'M':
		p.move(v[0], v[1])
	case 'L':
		p.lineTo(v[0], v[1])
	case 'H':
		p.lineTo(v[0], p.y)
	case 'V':
		p.lineTo(p.x, v[0])
	case 'C':
		p.curve(v[0], v[1], v[2], v[3], v[4], v[5])
		end = curveEnd{true, false, v[2], v[3]}
	case 'S':
		if last.cubic {
			x, y = 2*x-last.x, 2*y-last.y
		}
		p.curve(x, y, v[0], v[1], v[2], v[3])
		end = curveEnd{true, false, v[0], v[1]}
	case 'Q':
		p.quadratic(v[0], v[1], v[2], v[3])
		end = curveEnd{false, true, v[0], v[1]}
	case 'T':
		if last.quadratic {
			x, y = 2*x-last.x, 2*y-last.y
		}
		p.quadratic(x, y, v[0], v[1])
		end = curveEnd{false, true, x, y}
	case 'A':
		p.arc(v[0], v[1], v[2], flags[0], flags[1], v[5], v[6])
	case 'Z':
		p.lift(true)
	}
	return end, nil
}

// quadratic draws a curve of degree two, raised to three.
func (p *pen) quadratic(cx, cy, x, y float64) {
	p.curve(p.x+2.0/3*(cx-p.x), p.y+2.0/3*(cy-p.y), x+2.0/3*(cx-x), y+2.0/3*(cy-y), x, y)
}
