package contour

import (
	"bufio"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// ReadDXF reads the outlines of a DXF file in text form: LINE, ARC, CIRCLE,
// POLYLINE, LWPOLYLINE, ELLIPSE and SPLINE of release R12 and later, and the
// blocks that INSERT places. Lines and arcs that meet are joined. What the
// drawing program doesn't show, and what lies in paper space, is left out and
// counted. Errors name the line of the file.
//
// Source of the format: the public description of DXF R12
// (paulbourke.net/dataformats/dxf) and of its bulge, the tangent of a quarter of
// the angle; $INSUNITS, LWPOLYLINE and codes 60 and 67 from memory.
func ReadDXF(r io.Reader, o Options) (*Drawing, error) {
	text, err := plainText(r)
	if err != nil {
		return nil, err
	}
	tags, err := readTags(text)
	if err == nil {
		err = decode(tags)
	}
	if err != nil {
		return nil, err
	}
	x := &dxf{tags: tags, options: o, pen: dxfPen{drawing: &Drawing{}}, unit: o.Unit, layers: map[string]layer{}, blocks: map[string]*block{}}
	if err := x.read(); err != nil {
		return nil, err
	}
	if err := x.pen.drawing.finish(x.pen.pieces, o, upwards); err != nil {
		return nil, err
	}
	return x.pen.drawing, nil
}

// tag is a pair of lines: a code that says what the value is, and the value.
type tag struct {
	code  int
	value string
	line  int // of the value
}

func readTags(r io.Reader) ([]tag, error) {
	buf := bufio.NewReader(io.LimitReader(r, mostBytes+1))
	scanner := bufio.NewScanner(buf)
	scanner.Buffer(make([]byte, 0, 4096), 1<<20)
	var tags []tag
	line, size, code := 0, 0, 0
	for scanner.Scan() {
		line++
		text := strings.TrimSpace(scanner.Text())
		if size += len(scanner.Bytes()) + 1; size > mostBytes {
			return nil, refuse(0, "export the cut alone", "the file is larger than %d MB", mostBytes>>20)
		}
		if line%2 == 1 {
			if text == "" && line > 1 && tags[len(tags)-1].value == "EOF" {
				break // empty lines behind the end
			}
			n, err := strconv.Atoi(text)
			if err != nil {
				return nil, refuse(line, "check that this is a text DXF file and that no line is missing", "%q is no group code, which a DXF file has on every other line", clip(text))
			}
			code = n
			continue
		}
		tags = append(tags, tag{code, text, line})
	}
	if err := scanner.Err(); err != nil {
		if errors.Is(err, bufio.ErrTooLong) {
			return nil, refuse(line+1, "check that this is a text DXF file", "the line is longer than a megabyte")
		}
		return nil, unpacking(err)
	}
	if len(tags) == 0 {
		return nil, refuse(0, "a DXF file holds pairs of lines, a group code and a value", "the file is empty")
	}
	return tags, nil
}

// clip shortens what a message quotes.
func clip(s string) string {
	if len(s) > 40 {
		return s[:40] + "..."
	}
	return s
}

type dxf struct {
	tags    []tag
	at      int
	options Options
	unit    geometry.Length
	pen     dxfPen
	layers  map[string]layer
	blocks  map[string]*block
	visits  int // entities, those of blocks each time they are inserted
}

// dxfPen draws entities.
type dxfPen struct {
	drawing *Drawing
	pieces  []piece
	count   int       // segments
	to      transform // of the entity at hand, to nanometres as seen
}

// read goes through the sections: units, layers and blocks stand before the
// entities that use them.
func (x *dxf) read() error {
	section := ""
	for x.at < len(x.tags) {
		t := x.tags[x.at]
		switch {
		case t.code == 999 && t.value == unitComment && x.unit == 0:
			x.unit = geometry.Millimetre
		case t.code == 0 && t.value == "SECTION" && x.at+1 < len(x.tags) && x.tags[x.at+1].code == 2:
			section = x.tags[x.at+1].value
		case t.code == 0 && t.value == "ENDSEC":
			section = ""
		case t.code == 0 && t.value == "EOF":
			return nil
		case t.code == 9 && t.value == "$INSUNITS" && section == "HEADER" && x.at+1 < len(x.tags):
			if x.unit == 0 {
				x.unit = insUnits[x.tags[x.at+1].value]
			}
		case t.code == 0 && t.value == "LAYER" && section == "TABLES":
			x.layer(x.record())
			continue
		case t.code == 0 && t.value == "BLOCK" && section == "BLOCKS":
			if err := x.block(); err != nil {
				return err
			}
			continue
		case t.code == 0 && section == "ENTITIES":
			if err := x.draw(x.entity(), nil); err != nil {
				return err
			}
			continue
		}
		x.at++
	}
	return refuse(x.tags[len(x.tags)-1].line, "it was cut short: copy or export it again", "the file ends without EOF")
}

// insUnits are the lengths that $INSUNITS numbers (from memory, not checked).
// 0 means that the drawing has none.
var insUnits = map[string]geometry.Length{
	"1": geometry.Inch, "2": 12 * geometry.Inch, "4": geometry.Millimetre, "5": geometry.Centimetre,
	"6": geometry.Metre, "9": geometry.Inch / 1000, "13": geometry.Micrometre, "14": 100 * geometry.Millimetre,
}

// record is one entity: its tags up to the next code 0.
type record struct {
	name string
	line int
	tags []tag
}

func (x *dxf) record() record {
	t := x.tags[x.at]
	from := x.at + 1
	for x.at++; x.at < len(x.tags) && x.tags[x.at].code != 0; x.at++ {
	}
	return record{t.value, t.line, x.tags[from:x.at]}
}

// text returns the first value of a code.
func (r record) text(code int) string {
	for _, t := range r.tags {
		if t.code == code {
			return t.value
		}
	}
	return ""
}

// number returns the first value of a code, or what stands for it.
func (r record) number(code int, missing float64) (float64, error) {
	for _, t := range r.tags {
		if t.code == code {
			return t.number(r.name)
		}
	}
	if math.IsNaN(missing) {
		return 0, refuse(r.line, "the file is damaged: export it again", "the %s has no value of code %d", r.name, code)
	}
	return missing, nil
}

func (t tag) number(name string) (float64, error) {
	v, err := strconv.ParseFloat(t.value, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, refuse(t.line, "the file is damaged: export it again", "%q is no number, which code %d of a %s needs", clip(t.value), t.code, name)
	}
	return v, nil
}

// numbers returns several values at once; all must be there.
func (r record) numbers(codes ...int) ([]float64, error) {
	out := make([]float64, len(codes))
	for i, c := range codes {
		v, err := r.number(c, math.NaN())
		if err != nil {
			return nil, err
		}
		out[i] = v
	}
	return out, nil
}

// plane returns -1 for entities that were drawn on the back of the plane, as
// mirroring leaves them, and 1 for all others.
func (r record) plane() (float64, error) {
	var n [3]float64
	for i, code := range [...]int{210, 220, 230} {
		missing := 0.0
		if code == 230 {
			missing = 1
		}
		v, err := r.number(code, missing)
		if err != nil {
			return 0, err
		}
		n[i] = v
	}
	if math.Abs(n[0]) > 1e-6 || math.Abs(n[1]) > 1e-6 || n[2] == 0 {
		return 0, refuse(r.line, "flatten the drawing to two dimensions", "the %s does not lie in the drawing's plane", r.name)
	}
	return math.Copysign(1, n[2]), nil
}

// position turns an entity's coordinates, y upwards, into ours.
func (x *dxfPen) position(r record, px, py float64) (geometry.Position, error) {
	a, b := x.to.point(px, py)
	if limit := float64(outline.Reach); !(math.Abs(a) <= limit && math.Abs(b) <= limit) {
		return geometry.Position{}, refuse(r.line, "check the unit, or move the drawing to its origin", "the %s reaches to %g, %g, farther than %s from the origin", r.name, px, py, outline.Reach)
	}
	return geometry.Position{Across: geometry.Length(math.Round(a)), Around: geometry.Length(math.Round(b))}, nil
}

// addContour keeps a piece.
func (x *dxfPen) addContour(r record, c outline.Contour, closed bool) error {
	if x.count += len(c.Segments); x.count > mostSegments {
		return refuse(r.line, "export the cut alone", "the drawing has more than %d lines and arcs", mostSegments)
	}
	x.pieces = append(x.pieces, piece{c, r.line, closed})
	return nil
}
