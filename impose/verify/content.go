package verify

import (
	"fmt"
	"math"

	"quoin/impose/pdfobj"
)

// reader runs the content of a frame and tells of each thing that it paints. It
// knows the operators that may stand there; all others are told of as well.
type reader struct {
	doc       *pdfobj.Document
	resources pdfobj.Dict
	tell      func(painted)
	fonts     map[pdfobj.Ref]*font
	spaces    map[pdfobj.Ref]colour
	written   *painted // text between BT and ET

	g     graphics
	stack []graphics
	tags  []string // open marked content; layers by their names

	path     box
	trace    trace
	parts    []box
	corners  []point // of a path that may be one rectangle
	subpaths int
	curved   bool
	clipNext bool

	text, lineStart matrix
}

// maxStates bounds how deeply q may nest.
const maxStates = 4096

// run reads the content of a page of this size; the error says what can't be read or has no place there.
func (r *reader) run(contents pdfobj.Object, size [2]float64) error {
	r.g = begin(box{0, 0, size[0], size[1]})
	r.newPath()
	s := pdfobj.NewContentScanner(r.doc.Content(contents))
	for s.Next() {
		op := s.Operation()
		if err := r.operate(op.Operator, op.Operands); err != nil {
			return err
		}
	}
	if s.Err() != nil {
		return s.Err()
	}
	if len(r.stack) > 0 {
		return fmt.Errorf("%d graphics states are left open", len(r.stack))
	}
	return nil
}

// numbers returns the last n operands.
func numbers(args []pdfobj.Object, n int) []float64 {
	out := make([]float64, n)
	if len(args) > n {
		args = args[len(args)-n:]
	}
	for i, a := range args {
		out[i], _ = number(a)
	}
	return out
}

func (r *reader) resource(category, name pdfobj.Name) pdfobj.Object {
	return r.doc.Dict(r.resources[category])[name]
}

func (r *reader) operate(op string, args []pdfobj.Object) error {
	switch op {
	case "q":
		if len(r.stack) >= maxStates {
			return fmt.Errorf("more than %d graphics states", maxStates)
		}
		r.stack = append(r.stack, r.g)
	case "Q":
		if len(r.stack) == 0 {
			return fmt.Errorf("a graphics state is closed that was never opened")
		}
		r.g, r.stack = r.stack[len(r.stack)-1], r.stack[:len(r.stack)-1]
	case "cm":
		r.g.ctm = matrix(numbers(args, 6)).then(r.g.ctm)
	case "gs":
		for _, key := range r.doc.Dict(r.resource("ExtGState", pdfobj.NameAt(args, 0))).Keys() {
			if key != "Type" {
				r.g.set(r.doc, key, r.doc.Dict(r.resource("ExtGState", pdfobj.NameAt(args, 0)))[key])
			}
		}
	case "w", "J", "j", "M", "ri":
		r.g.set(r.doc, map[string]pdfobj.Name{"w": "LW", "J": "LC", "j": "LJ", "M": "ML", "ri": "RI"}[op], last(args))
	case "i":
		r.g.set(r.doc, "FL", last(args))
	case "d":
		r.g.set(r.doc, "D", pdfobj.Array(args))
	case "BDC", "BMC":
		tag := ""
		if op == "BDC" && pdfobj.NameAt(args, 0) == "OC" {
			tag = string(pdfobj.NameAt(args, 1))
		}
		r.tags = append(r.tags, tag)
	case "EMC":
		if len(r.tags) > 0 {
			r.tags = r.tags[:len(r.tags)-1]
		}
	case "MP", "DP", "BX", "EX":
	case "Do":
		r.do(pdfobj.NameAt(args, 0))
	case "sh":
		r.paint("shading", r.g.clip, colour{space: "a shading"}, r.g.over)
	case "BI":
		r.paint("picture", box{0, 0, 1, 1}.transformed(r.g.ctm), colour{space: "a picture"}, r.g.over)
	default:
		if !r.pathOperator(op, args) && !r.colourOperator(op, args) && !r.textOperator(op, args) {
			return fmt.Errorf("the operator %q is unknown", op)
		}
	}
	return nil
}

func last(args []pdfobj.Object) pdfobj.Object {
	if len(args) == 0 {
		return nil
	}
	return args[len(args)-1]
}

// do tells of an external object.
func (r *reader) do(name pdfobj.Name) {
	ref, _ := r.resource("XObject", name).(pdfobj.Ref)
	stream := r.doc.Stream(r.resource("XObject", name))
	if stream == nil {
		r.paint("nothing", r.g.clip, colour{space: "a missing XObject"}, false)
		return
	}
	if r.doc.Name(stream.Dict["Subtype"]) != "Form" {
		r.paint("picture", box{0, 0, 1, 1}.transformed(r.g.ctm), colour{space: "a picture"}, r.g.over)
		return
	}
	r.tell(painted{
		what: "label", form: ref, matrix: r.g.ctm, clip: r.g.clip, clipped: r.g.rectangle, around: r.g.around, box: r.g.clip,
		state: r.g.state(), layer: r.layer(),
	})
}

// layer returns the innermost layer.
func (r *reader) layer() string {
	for i := len(r.tags) - 1; i >= 0; i-- {
		if r.tags[i] != "" {
			return r.tags[i]
		}
	}
	return ""
}

func (r *reader) paint(what string, b box, c colour, over bool) {
	p := painted{what: what, box: b.intersect(r.g.clip), inks: c.use(), overprint: over, layer: r.layer(), state: r.g.effects(over)}
	p.parts = []box{p.box}
	r.tell(p)
}

// Paths.

func (r *reader) newPath() {
	r.trace = trace{}
	r.path, r.parts, r.corners, r.subpaths, r.curved = nowhere, nil, nil, 0, false
}

func (r *reader) point(x, y float64) point {
	p := r.g.ctm.apply(point{x, y})
	r.path = r.path.including(p)
	r.trace.add(p)
	if n := len(r.parts); n > 0 {
		r.parts[n-1] = r.parts[n-1].including(p)
	}
	return p
}

func (r *reader) move(x, y float64) {
	r.parts = append(r.parts, nowhere)
	r.subpaths++
	r.corners = append(r.corners, r.point(x, y))
}

func (r *reader) pathOperator(op string, args []pdfobj.Object) bool {
	switch op {
	case "m":
		v := numbers(args, 2)
		r.move(v[0], v[1])
	case "l":
		v := numbers(args, 2)
		r.corners = append(r.corners, r.point(v[0], v[1]))
	case "c", "v", "y":
		n := map[string]int{"c": 6, "v": 4, "y": 4}[op]
		v := numbers(args, n)
		for i := 0; i < n; i += 2 {
			r.point(v[i], v[i+1])
		}
		r.curved = true
	case "re":
		v := numbers(args, 4)
		r.move(v[0], v[1])
		for _, p := range []point{{v[0] + v[2], v[1]}, {v[0] + v[2], v[1] + v[3]}, {v[0], v[1] + v[3]}} {
			r.corners = append(r.corners, r.point(p.x, p.y))
		}
	case "h":
	case "W", "W*":
		r.clipNext = true
	case "n":
		r.endPath()
	case "f", "F", "f*":
		r.filled()
		r.endPath()
	case "S", "s":
		r.stroked()
		r.endPath()
	case "B", "B*", "b", "b*":
		parts := append([]box(nil), r.parts...)
		r.filled()
		r.parts = parts
		r.stroked()
		r.endPath()
	default:
		return false
	}
	return true
}

func (r *reader) filled() {
	if !r.path.empty() {
		what := "fill"
		if r.g.mask != nil {
			what = "cover"
		}
		r.tell(painted{what: what, mask: r.g.mask, matrix: r.g.ctm, box: r.path.intersect(r.g.clip), path: r.trace, parts: r.within(0), inks: r.g.fill.use(), overprint: r.g.over, layer: r.layer(), state: r.g.effects(r.g.over)})
	}
}

func (r *reader) stroked() {
	if r.path.empty() {
		return
	}
	width := r.g.line * math.Sqrt(math.Abs(r.g.ctm[0]*r.g.ctm[3]-r.g.ctm[1]*r.g.ctm[2]))
	r.tell(painted{
		what: "stroke", box: r.path.intersect(r.g.clip), path: r.trace, parts: r.within(width / 2), line: width,
		inks: r.g.stroke.use(), overprint: r.g.overStroke, layer: r.layer(), state: r.g.effects(r.g.overStroke),
	})
}

// within returns the parts of the path, widened and clipped.
func (r *reader) within(widen float64) []box {
	list := make([]box, 0, len(r.parts))
	for _, b := range r.parts {
		if b = b.outset(widen).intersect(r.g.clip); !b.empty() {
			list = append(list, b)
		}
	}
	return list
}

// endPath narrows the clip if that was asked for.
func (r *reader) endPath() {
	if r.clipNext {
		r.g.rectangle = r.g.rectangle && r.isRectangle()
		r.g.clip = r.g.clip.intersect(r.path)
		r.g.around = r.trace
		r.clipNext = false
	}
	r.newPath()
}

// isRectangle reports whether the path is the outline of its box.
func (r *reader) isRectangle() bool {
	c := r.corners
	if n := len(c); n == 5 && c[0] == c[4] {
		c = c[:4]
	}
	if r.curved || r.subpaths != 1 || len(c) != 4 {
		return false
	}
	for i, p := range c {
		q := c[(i+1)%4]
		if p.x != q.x && p.y != q.y || c[i] == c[(i+2)%4] {
			return false
		}
	}
	return true
}
