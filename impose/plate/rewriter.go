package plate

import (
	"quoin/impose/pdfobj"
)

// rewriter runs one content stream and writes it as the copy's plates see it.
type rewriter struct {
	b     *builder
	res   *resources
	g     state
	seen  seen
	stack []saved
	depth int // of q in what is written
	to    *output
	path  pathCopy
	err   error

	hidden int    // layers around that are off
	marked []bool // open marked content; true for a layer that is off
	// uncoloured is set in glyphs and patterns that take the colour of who
	// paints them: their own colours mean nothing.
	uncoloured bool
	isolated   bool  // an isolated group is around
	grouped    bool  // a group that isn't isolated is around, or a pattern's cell
	text       bool  // what is painted is text
	glyph      bool  // in a glyph, where the renderer knows no opacity
	began      state // the state at the beginning
	top        bool  // the page's own content
	painted    int   // operators of it that paint, so far
}

// saved is what q keeps.
type saved struct {
	g    state
	seen seen
}

func newRewriter(b *builder, res *resources, g state) *rewriter {
	to := &output{none: b.looks}
	return &rewriter{b: b, res: res, g: g, seen: unset, began: g, to: to, path: pathCopy{to: to}}
}

// sync makes the copy's colours what the state asks for, unless that depends on which
// of them is painted with.
func (x *rewriter) sync() { x.g.sync(x, both, false) }

// ready makes them so for painting with some of them.
func (x *rewriter) ready(of uses) {
	if x.isolated || x.seen.mixed {
		x.g.sync(x, of, true)
	}
}

func (x *rewriter) fail(err error) {
	if x.err == nil {
		x.err = err
	}
}

// run rewrites content to its end.
func (x *rewriter) run(o pdfobj.Object) error {
	c := pdfobj.NewContentScanner(x.b.doc.Content(o))
	c.Reuse = true
	for x.err == nil && c.Next() {
		if x.b.left--; x.b.left < 0 {
			x.b.told.note("the end of the content", "it has more operators than are looked at")
			return nil
		}
		if x.b.left%4096 == 0 {
			if err := x.b.ctx.Err(); err != nil {
				return err
			}
		}
		op := c.Operation()
		x.operate(op.Operator, op.Operands)
	}
	if x.err == nil && x.b.ctx.Err() != nil {
		return x.b.ctx.Err()
	}
	return x.err // damage in the content ends it, as it does on the press
}

func last(args []pdfobj.Object, n int) []pdfobj.Object { return args[max(0, len(args)-n):] }

func lastName(args []pdfobj.Object) pdfobj.Name { return pdfobj.NameAt(args, len(args)-1) }

// operate runs one operator (ISO 32000-1 Annex A).
func (x *rewriter) operate(op string, args []pdfobj.Object) {
	if x.top && x.skips(op, args) {
		if painted[op] == 0 {
			return
		}
		op, args = "n", nil // the path may still clip
	}
	if x.path.build(op, args) {
		return
	}
	switch op {
	case "q":
		if len(x.stack) < maxStates {
			x.stack = append(x.stack, saved{x.g, x.seen})
			x.depth++
			x.to.write("q\n")
		}
	case "Q":
		if n := len(x.stack); n > 0 {
			x.g, x.seen = x.stack[n-1].g, x.stack[n-1].seen
			x.stack = x.stack[:n-1]
			x.depth--
			x.to.write("Q\n")
		}
	case "cm":
		if args = last(args, 6); x.top && len(args) == 6 {
			x.g.ctm = concat(args, x.g.ctm)
		}
		x.to.pass(op, args)
	case "gs":
		x.setState(lastName(args))
	case "cs", "CS", "sc", "scn", "SC", "SCN", "g", "G", "rg", "RG", "k", "K":
		if x.setColour(op, args) {
			x.sync()
		}
	case "Do":
		x.do(lastName(args))
	case "sh":
		x.shade(lastName(args))
	case "BI":
		if s, ok := args[0].(*pdfobj.Stream); ok {
			copyInline(x, s)
		}
	case "Tf":
		setFont(x, args)
	case "Tr":
		x.g.render = int(pdfobj.NumberAt(last(args, 1), 0))
		x.to.pass(op, args)
	case "Tj", "TJ", "'", "\"":
		showText(x, op, args)
	case "BDC", "BMC", "EMC":
		x.mark(op, args)
	case "MP", "DP", "BX", "EX", "ri":
	case "d0":
		x.to.pass(op, args)
		x.sync()
	case "d1":
		x.to.pass(op, args)
		x.uncoloured = true
	default:
		if of := painted[op]; of != 0 {
			x.ready(of)
		}
		if x.glyph {
			op = x.glyphPaint(op)
		}
		x.to.pass(op, args)
	}
}

// painted says which colours the operators use that paint a path.
var painted = map[string]uses{
	"S": theStroke, "s": theStroke, "f": theFill, "F": theFill, "f*": theFill, "B": both, "B*": both, "b": both, "b*": both,
}

// painting says of the operators that paint a path (8.5.3) what they are
// without their fill and without their stroke.
var painting = map[string][2]string{
	"S": {"S", "n"}, "s": {"s", "n"}, "f": {"n", "f"}, "F": {"n", "f"}, "f*": {"n", "f*"},
	"B": {"S", "f"}, "B*": {"S", "f*"}, "b": {"s", "f"}, "b*": {"s", "f*"},
}

// glyphPaint leaves out of an operator what the plates must not see.
func (x *rewriter) glyphPaint(op string) string {
	if less, ok := painting[op]; ok && !x.seenInGlyph(&x.g.fill, x.g.overFill, painted[op]&theFill) {
		op = less[0]
	}
	stroke, over := &x.g.stroke, x.g.overStroke
	if x.uncoloured { // a glyph without colours is all in the text's own
		stroke, over = &x.g.fill, x.g.overFill
	}
	if less, ok := painting[op]; ok && !x.seenInGlyph(stroke, over, painted[op]&theStroke) {
		op = less[1]
	}
	return op
}

// seenInGlyph reports whether the plates see a colour in which something is painted.
func (x *rewriter) seenInGlyph(c *colour, over bool, used uses) bool {
	on := x.b.touched(c, over, x.g.mode)
	if used != 0 {
		x.part(on, ^on)
	}
	return on != 0
}

// setColour runs a colour operator (8.6.8) and reports whether it counts.
func (x *rewriter) setColour(op string, args []pdfobj.Object) bool {
	if x.uncoloured {
		return false
	}
	target := &x.g.fill
	if op[0] < 'a' {
		target = &x.g.stroke
	}
	sp := target.space
	switch op {
	case "cs", "CS":
		sp := x.b.spaces.read(lastName(args), x.res, 0)
		*target = colour{space: sp, values: sp.initial()}
		return true
	case "g", "G":
		sp, args = x.b.spaces.read(pdfobj.Name("DeviceGray"), x.res, 0), last(args, 1)
	case "rg", "RG":
		sp, args = x.b.spaces.read(pdfobj.Name("DeviceRGB"), x.res, 0), last(args, 3)
	case "k", "K":
		sp, args = x.b.spaces.read(pdfobj.Name("DeviceCMYK"), x.res, 0), last(args, 4)
	}
	c := colour{space: sp}
	if sp.family == patternSpace && len(args) > 0 {
		c.pattern = x.findPattern(lastName(args))
		args = args[:len(args)-1]
	}
	for i := range args {
		c.values = append(c.values, pdfobj.NumberAt(args, i))
	}
	*target = c
	return true
}

// mark opens and closes marked content (14.6); only layers that are off count.
func (x *rewriter) mark(op string, args []pdfobj.Object) {
	was := x.hidden
	switch {
	case op != "EMC":
		off := false
		if n := len(args); op == "BDC" && n >= 2 {
			if tag, _ := args[n-2].(pdfobj.Name); tag == "OC" {
				off = !x.b.page.Shows(x.res.find(x.b.doc, "Properties", lastName(args)))
			}
		}
		x.marked = append(x.marked, off)
		if off {
			x.hidden++
		}
	case len(x.marked) > 0:
		if x.marked[len(x.marked)-1] {
			x.hidden--
		}
		x.marked = x.marked[:len(x.marked)-1]
	}
	if was != x.hidden {
		x.sync()
	}
}
