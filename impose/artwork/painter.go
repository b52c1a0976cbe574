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
	marked marks

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

	last coat
	args operands
}

// operate runs one operator (Annex A). What is unknown is skipped, as 7.8.2
// lets a reader do.
func (p *painter) operate(op *pdfobj.Operation) {
	if op.Path.Operators > 0 {
		p.add(&op.Path)
	}
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
		if m := matrix(last(p.args.values(op), 6)).Then(p.g.ctm); m.finite() {
			p.g.ctm = m
		}
	case "w":
		p.g.width = at(last(p.args.values(op), 1), 0)
	default:
		if !p.construct(op.Operator, p.args.values(op)) && !p.colours(op) {
			p.other(op.Operator, p.args.list(op))
		}
	}
}

// other runs the operators that don't fill large streams.
func (p *painter) other(op string, args []pdfobj.Object) {
	switch op {
	case "gs":
		p.setState(pdfobj.NameAt(last(args, 1), 0))
	case "Do":
		p.do(pdfobj.NameAt(last(args, 1), 0))
	case "sh":
		p.shade(pdfobj.NameAt(last(args, 1), 0))
	case "BI":
		if stream, ok := args[0].(*pdfobj.Stream); ok {
			paintImage(p, stream, "", true)
		}
	case "BDC", "BMC", "EMC":
		p.marked.mark(p.scan, p.scope, op, args)
	case "d1":
		p.uncoloured = p.uncoloured || p.repeats
	default:
		if !runText(p, op, args) {
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
	if p.traced || p.path == nothing {
		traceCut(p, op, v)
	}
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

// untraced reports whether of a path, or of the one that comes next, nothing counts but
// how far it reaches, and that is how far its box does.
func (p *painter) untraced() bool {
	m := &p.g.ctm
	return p.ground == nil && !p.traced && (m[1] == 0 && m[2] == 0 || m[0] == 0 && m[3] == 0) && (p.path != nothing || !mayCut(p))
}

// add adds what was built of an untraced path.
func (p *painter) add(built *pdfobj.Path) {
	p.parts += built.Parts
	if left, bottom, right, top, ok := built.Box(); ok {
		p.point(left, bottom)
		p.point(right, top)
	}
}

func (p *painter) point(x, y float64) {
	x, y = p.g.ctm.Apply(x, y)
	p.path = p.path.with(x, y)
}

func (p *painter) endPath(fill, stroke bool) {
	drawn := p.path[0] <= p.path[2]
	if drawn && p.traced {
		keepCut(p, fill, stroke)
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
		noteFine(p, &p.g.stroke, false, width, p.g.overStroke, p.path[0], p.path[1])
	}
	if drawn && (fill || stroke) {
		p.noteAlone(fill, stroke)
	}
	if p.clips && !p.repeats {
		p.g.clip = p.g.clip.Intersect(p.path)
	}
	p.clips, p.path, p.parts, p.traced, p.course = false, nothing, 0, false, nil
}

// colours runs the colour operators (8.6.8), and reports whether op is one.
func (p *painter) colours(op *pdfobj.Operation) bool {
	target := &p.g.fill
	switch op.Operator {
	case "CS", "SC", "SCN", "G", "RG", "K":
		target = &p.g.stroke
	}
	var set colour
	switch op.Operator {
	case "cs", "CS":
		named := pdfobj.NameAt(last(op.Operands, 1), 0)
		set.space = remember(p.scope.spaces, named, func() *space { return spaceOf(p.scan, named, p.scope, false, 0) })
		set.values = set.space.initial()
		if !p.uncoloured {
			set.space.raise(Blank) // no more than set, so far
		}
	case "sc", "scn", "SC", "SCN":
		set = p.components(target.space, op)
	case "g", "G":
		set = p.direct("DeviceGray", p.args.values(op), 1)
	case "rg", "RG":
		set = p.direct("DeviceRGB", p.args.values(op), 3)
	case "k", "K":
		set = p.direct("DeviceCMYK", p.args.values(op), 4)
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
	sp := remember(p.scope.spaces, "\x00"+device, func() *space { return spaceOf(p.scan, device, p.scope, false, 0) })
	return colour{space: sp, values: append([]float64{}, last(v, n)...)} // nil would be anything that the space can make
}

func (p *painter) components(sp *space, op *pdfobj.Operation) colour {
	c, v := colour{space: sp}, p.args.values(op)
	if n := len(v); sp.family == patternSpace && n > 0 {
		named := pdfobj.NameAt(op.Operands, n-1)
		c.pattern = remember(p.scope.patterns, named, func() *patternUse {
			return p.readPattern(p.resource(p.scope, "Pattern", named), p.scope)
		})
		v = v[:n-1]
	}
	c.values = append([]float64{}, v...)
	return c
}
