package artwork

import (
	"math"

	"quoin/geometry/outline"
	"quoin/impose/pdfobj"
)

// painter runs the operators of one content stream.
type painter struct {
	*scan
	scope *scope
	g     state
	stack []state
	base  Matrix // the space of the stream, in which its patterns lie

	path   Rect              // around the current path, in the page's space
	course []outline.Contour // the path itself, where it may be a die line
	traced bool              // course is being kept
	parts  int               // subpaths of the path
	clips  bool              // the next painting operator sets the path as clip
	marked []mark

	text, line Matrix
	leading    float64
	reach      float64 // how far text may have advanced since the line began

	// uncoloured is set in glyphs and patterns that take the colour of who
	// paints them: their own colour operators mean nothing.
	uncoloured bool
	forgiving  int // BX around: operators that nobody knows are none of ours (7.8.2)
	// repeats is set where the content appears at places that are not
	// followed: in a pattern's cell and in a glyph. All of the clip counts.
	repeats bool
}

// number reads operand i; what is none is 0.
func number(args []pdfobj.Object, i int) float64 {
	if i < 0 || i >= len(args) {
		return 0
	}
	switch v := args[i].(type) {
	case pdfobj.Integer:
		return float64(v)
	case pdfobj.Real:
		if !math.IsNaN(float64(v)) {
			return float64(v)
		}
	}
	return 0
}

func name(args []pdfobj.Object, i int) pdfobj.Name {
	if i < 0 || i >= len(args) {
		return ""
	}
	n, _ := args[i].(pdfobj.Name)
	return n
}

func matrix(args []pdfobj.Object) Matrix {
	var m Matrix
	for i := range m {
		m[i] = number(args, i)
	}
	return m
}

// last gives the last n operands: an operator takes those.
func last(args []pdfobj.Object, n int) []pdfobj.Object {
	return args[max(0, len(args)-n):]
}

// operate runs one operator (Annex A). What is unknown is skipped, as 7.8.2
// lets a reader do.
func (p *painter) operate(op string, args []pdfobj.Object) {
	switch op {
	case "q":
		if len(p.stack) < maxStates {
			p.stack = append(p.stack, p.g)
		}
	case "Q":
		if n := len(p.stack); n > 0 {
			p.g = p.stack[n-1]
			p.stack = p.stack[:n-1]
		}
	case "cm":
		if m := matrix(last(args, 6)).then(p.g.ctm); m.finite() {
			p.g.ctm = m
		}
	case "w":
		p.g.width = number(last(args, 1), 0)
	case "gs":
		p.setState(name(last(args, 1), 0))
	case "Do":
		p.do(name(last(args, 1), 0))
	case "sh":
		p.shade(name(last(args, 1), 0))
	case "BI":
		if stream, ok := args[0].(*pdfobj.Stream); ok {
			imagePaintOf(p).inline(stream)
		}
	case "BDC", "BMC", "EMC":
		p.mark(op, args)
	case "d1":
		p.uncoloured = p.uncoloured || p.repeats
	default:
		if !p.construct(op, args) && !p.colours(op, args) && !textPaintOf(p).writes(op, args) {
			p.checkOperator(op, args)
		}
	}
}

// setState applies an ExtGState of the resources.
func (p *painter) setState(name pdfobj.Name) {
	change := remember(p.scope.states, name, func() *stateChange {
		return p.readState(p.resource(p.scope, "ExtGState", name), p.scope)
	})
	change.apply(&p.g)
	if change.see && p.hidden == 0 {
		p.page.Transparency = true
	}
	if change.mask != nil {
		p.softMask(change.mask)
	}
}

// softMask walks the group of a soft mask, 11.6.5.2: what it paints makes
// no ink, but its fonts and images must be sound.
func (p *painter) softMask(mask pdfobj.Dict) {
	stream := p.doc.Stream(mask["G"])
	if stream == nil {
		return
	}
	p.masking++
	p.form(stream, "a soft mask")
	p.masking--
}

// construct runs the operators that build and paint paths (8.5), and tells
// whether op is one of them.
func (p *painter) construct(op string, args []pdfobj.Object) bool {
	cutPenOf(p).trace(op, args)
	switch op {
	case "m", "l":
		args = last(args, 2)
		p.point(number(args, 0), number(args, 1))
		if op == "m" {
			p.parts++
		}
	case "c", "v", "y":
		for i := 0; i+1 < len(args); i += 2 {
			p.point(number(args, i), number(args, i+1))
		}
	case "re":
		args = last(args, 4)
		x, y := number(args, 0), number(args, 1)
		w, h := number(args, 2), number(args, 3)
		p.point(x, y)
		p.point(x+w, y)
		p.point(x, y+h)
		p.point(x+w, y+h)
		p.parts++
	case "h":
	case "S", "s":
		p.endPath(false, true)
	case "f", "F", "f*":
		p.endPath(true, false)
	case "B", "B*", "b", "b*":
		p.endPath(true, true)
	case "n":
		p.endPath(false, false)
	case "W", "W*":
		p.clips = true
	default:
		return false
	}
	return true
}

func (p *painter) point(x, y float64) {
	x, y = p.g.ctm.Apply(x, y)
	p.path = p.path.with(x, y)
}

func (p *painter) endPath(fill, stroke bool) {
	drawn := p.path[0] <= p.path[2]
	if drawn && p.traced {
		cutPenOf(p).keepCut(fill, stroke)
	}
	if fill && drawn {
		p.paint(&p.g.fill, p.path, p.g.overFill, paths)
	}
	if stroke && drawn {
		width := math.Abs(p.g.width) * p.g.ctm.scale()
		p.paint(&p.g.stroke, p.path.Outset(width), p.g.overStroke, paths)
		p.checkLine(width, p.path.Outset(width))
		textPaintOf(p).noteFine(&p.g.stroke, false, width, p.g.overStroke, p.path[0], p.path[1])
	}
	if drawn && (fill || stroke) {
		p.noteAlone(fill, stroke)
	}
	if p.clips && !p.repeats {
		p.g.clip = p.g.clip.Intersect(p.path)
	}
	p.clips, p.path, p.parts, p.traced, p.course = false, nothing, 0, false, nil
}

// colours runs the colour operators (8.6.8), and tells whether op is one.
func (p *painter) colours(op string, args []pdfobj.Object) bool {
	target := &p.g.fill
	switch op {
	case "CS", "SC", "SCN", "G", "RG", "K":
		target = &p.g.stroke
	}
	var set colour
	switch op {
	case "cs", "CS":
		named := name(last(args, 1), 0)
		set.space = remember(p.scope.spaces, named, func() *space { return colourScanOf(p.scan).space(named, p.scope, false, 0) })
		set.values = set.space.initial()
		if !p.uncoloured {
			set.space.chosen()
		}
	case "sc", "scn", "SC", "SCN":
		set = p.components(target.space, args)
	case "g", "G":
		set = p.direct("DeviceGray", args, 1)
	case "rg", "RG":
		set = p.direct("DeviceRGB", args, 3)
	case "k", "K":
		set = p.direct("DeviceCMYK", args, 4)
	default:
		return false
	}
	if !p.uncoloured {
		*target = set
	}
	return true
}

// direct sets a colour of a device space.
func (p *painter) direct(device pdfobj.Name, args []pdfobj.Object, n int) colour {
	sp := remember(p.scope.spaces, "\x00"+device, func() *space { return colourScanOf(p.scan).space(device, p.scope, false, 0) })
	return p.components(sp, last(args, n))
}

func (p *painter) components(sp *space, args []pdfobj.Object) colour {
	c := colour{space: sp}
	if sp.family == patternSpace {
		if n := len(args); n > 0 {
			named := name(args, n-1)
			c.pattern = remember(p.scope.patterns, named, func() *patternUse {
				return p.readPattern(p.resource(p.scope, "Pattern", named), p.scope)
			})
			args = args[:n-1]
		}
	}
	c.values = make([]float64, len(args))
	for i := range args {
		c.values[i] = number(args, i)
	}
	return c
}

// mark is a marked-content sequence, 14.6.
type mark struct{ hidden, stepped bool }

// maxMarks bounds open marked-content sequences.
const maxMarks = 4096

func (p *painter) mark(op string, args []pdfobj.Object) {
	switch {
	case op == "EMC":
		if n := len(p.marked); n > 0 {
			p.leave(p.marked[n-1])
			p.marked = p.marked[:n-1]
		}
	case len(p.marked) >= maxMarks:
	case op == "BDC" && len(args) >= 2 && name(args, len(args)-2) == "OC":
		group := p.scope.find(p.doc, "Properties", name(args, len(args)-1))
		p.marked = append(p.marked, p.enter(group))
	default:
		p.marked = append(p.marked, mark{})
	}
}
