package plate

import "quoin/impose/pdfobj"

// The renderer puts an upright rectangle on whole pixels. One with a side that is
// written as a curve is drawn as any other shape, to a share of a pixel, so
// rectangles that are painted get one. Those that only clip are left
// alone: a clip that is no rectangle takes the renderer long.

// course is what is known of the path being built.
type course struct {
	rects [][4]float64 // of re operators that are not yet written
	at    [2]float64   // of the last m
	moved bool         // nothing came after m
}

// pathCopy writes the operators that build paths.
type pathCopy struct {
	to     *output
	course course
}

// build runs an operator before it is written, and reports whether it is kept
// back for now.
func (p *pathCopy) build(op string, args []pdfobj.Object) bool {
	c := &p.course
	if op == "re" && len(args) >= 4 {
		args = last(args, 4)
		c.rects = append(c.rects, [4]float64{pdfobj.NumberAt(args, 0), pdfobj.NumberAt(args, 1), pdfobj.NumberAt(args, 2), pdfobj.NumberAt(args, 3)})
		return true
	}
	if len(c.rects) > 0 {
		p.writeRects(painted[op] != 0)
	}
	switch {
	case op == "m" && len(args) >= 2:
		args = last(args, 2)
		c.at, c.moved = [2]float64{pdfobj.NumberAt(args, 0), pdfobj.NumberAt(args, 1)}, true
	case op == "l" && c.moved && len(args) >= 2:
		args = last(args, 2)
		u, v := pdfobj.NumberAt(args, 0), pdfobj.NumberAt(args, 1)
		if u == c.at[0] || v == c.at[1] {
			p.straight(c.at[0], c.at[1], u, v)
			c.moved = false
			return true
		}
		c.moved = false
	default:
		c.moved = false
	}
	return false
}

func (p *pathCopy) writeRects(painted bool) {
	for _, r := range p.course.rects {
		if !painted {
			p.to.numbers(r[:])
			p.to.write("re\n")
			continue
		}
		l, b, w, h := r[0], r[1], r[2], r[3]
		p.to.numbers([]float64{l, b})
		p.to.write("m\n")
		p.straight(l, b, l+w, b)
		p.to.numbers([]float64{l + w, b + h})
		p.to.write("l\n")
		p.to.numbers([]float64{l, b + h})
		p.to.write("l\n")
		p.to.write("h\n")
	}
	p.course.rects = p.course.rects[:0]
}

// straight writes a line as a curve.
func (p *pathCopy) straight(fromX, fromY, toX, toY float64) {
	p.to.numbers([]float64{fromX + (toX-fromX)/3, fromY + (toY-fromY)/3, toX - (toX-fromX)/3, toY - (toY-fromY)/3, toX, toY})
	p.to.write("c\n")
}
