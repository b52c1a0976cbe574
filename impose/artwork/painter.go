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

	last    coat
	floats  []float64       // see values
	objects []pdfobj.Object // see operands
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

func matrix(v []float64) (m Matrix) {
	copy(m[:], v)
	return m
}

// last gives the last n operands: an operator takes those.
func last[T any](args []T, n int) []T {
	return args[max(0, len(args)-n):]
}

// values gives operands as numbers, until those of the next operation.
func (p *painter) values(op pdfobj.Operation) []float64 {
	if len(op.Operands) == 0 {
		return op.Numbers
	}
	return p.numbers(op.Operands)
}

func (p *painter) numbers(args []pdfobj.Object) []float64 {
	p.floats = p.floats[:0]
	for i := range args {
		p.floats = append(p.floats, number(args, i))
	}
	return p.floats
}

// operands gives numbers as operands, until those of the next operation.
func (p *painter) operands(op pdfobj.Operation) []pdfobj.Object {
	if len(op.Numbers) == 0 {
		return op.Operands
	}
	p.objects = p.objects[:0]
	for _, v := range op.Numbers {
		p.objects = append(p.objects, pdfobj.Real(v))
	}
	return p.objects
}

// at gives value i; what is missing is 0.
func at(v []float64, i int) float64 {
	if i < len(v) {
		return v[i]
	}
	return 0
}

// operate runs one operator (Annex A). What is unknown is skipped, as 7.8.2
// lets a reader do.
func (p *painter) operate(op pdfobj.Operation) {
	switch op.Operator {
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
		if m := matrix(last(p.values(op), 6)).then(p.g.ctm); m.finite() {
			p.g.ctm = m
		}
	case "w":
		p.g.width = at(last(p.values(op), 1), 0)
	default:
		if !p.construct(op.Operator, p.values(op)) && !p.colours(op) {
			p.other(op.Operator, p.operands(op))
		}
	}
}

// other runs the operators that don't fill large streams.
func (p *painter) other(op string, args []pdfobj.Object) {
	switch op {
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
		if !textPaintOf(p).writes(op, args) {
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
func (p *painter) construct(op string, v []float64) bool {
	cutPenOf(p).trace(op, v)
	if p.ground != nil {
		p.ground.build(p, op, v)
	}
	switch op {
	case "m":
		p.parts++
		v = last(v, 2)
		p.point(at(v, 0), at(v, 1))
	case "l":
		v = last(v, 2)
		p.point(at(v, 0), at(v, 1))
	case "c", "v", "y":
		for i := 0; i+1 < len(v); i += 2 {
			p.point(v[i], v[i+1])
		}
	case "re":
		v = last(v, 4)
		x, y, w, h := at(v, 0), at(v, 1), at(v, 2), at(v, 3)
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
	if p.ground != nil {
		p.ground.endPath(p, fill, stroke)
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
func (p *painter) colours(op pdfobj.Operation) bool {
	target := &p.g.fill
	switch op.Operator {
	case "CS", "SC", "SCN", "G", "RG", "K":
		target = &p.g.stroke
	}
	var set colour
	switch op.Operator {
	case "cs", "CS":
		named := name(last(op.Operands, 1), 0)
		set.space = remember(p.scope.spaces, named, func() *space { return colourScanOf(p.scan).space(named, p.scope, false, 0) })
		set.values = set.space.initial()
		if !p.uncoloured {
			set.space.chosen()
		}
	case "sc", "scn", "SC", "SCN":
		set = p.components(target.space, op)
	case "g", "G":
		set = p.direct("DeviceGray", p.values(op), 1)
	case "rg", "RG":
		set = p.direct("DeviceRGB", p.values(op), 3)
	case "k", "K":
		set = p.direct("DeviceCMYK", p.values(op), 4)
	default:
		return false
	}
	if !p.uncoloured {
		*target = set
	}
	return true
}

// direct sets a colour of a device space.
func (p *painter) direct(device pdfobj.Name, v []float64, n int) colour {
	sp := remember(p.scope.spaces, "\x00"+device, func() *space { return colourScanOf(p.scan).space(device, p.scope, false, 0) })
	return colour{space: sp, values: append([]float64{}, last(v, n)...)} // nil would be anything that the space can make
}

func (p *painter) components(sp *space, op pdfobj.Operation) colour {
	c, v := colour{space: sp}, p.values(op)
	if n := len(v); sp.family == patternSpace && n > 0 {
		named := name(op.Operands, n-1)
		c.pattern = remember(p.scope.patterns, named, func() *patternUse {
			return p.readPattern(p.resource(p.scope, "Pattern", named), p.scope)
		})
		v = v[:n-1]
	}
	c.values = append([]float64{}, v...)
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
