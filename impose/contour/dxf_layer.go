package contour

import (
	"slices"
	"strconv"
	"strings"
)

// layer is what the table of layers says of one.
type layer struct{ off, frozen bool }

// key is a name as DXF compares names, in capitals.
func key(name string) string { return strings.ToUpper(name) }

// layer reads an entry of the table: bit 1 of code 70 is frozen, a negative
// colour is off.
func (x *dxf) layer(r record) {
	flags, _ := strconv.Atoi(r.text(70))
	x.layers[key(r.name2())] = layer{off: strings.HasPrefix(r.text(62), "-"), frozen: flags&1 != 0}
}

// name2 returns the name in code 2.
func (r record) name2() string { return unescape(r.text(2)) }

// unescape turns the letters that DXF writes as \U+00FC into themselves.
func unescape(s string) string {
	for {
		at := strings.Index(s, `\U+`)
		if at < 0 || len(s) < at+7 {
			return s
		}
		n, err := strconv.ParseUint(s[at+3:at+7], 16, 16)
		if err != nil {
			return s
		}
		s = s[:at] + string(rune(n)) + s[at+7:]
	}
}

// entity is a record with what belongs to it: the vertices of a POLYLINE.
type entity struct {
	record
	vertices []record
}

// entity reads what begins here.
func (x *dxf) entity() entity {
	e := entity{record: x.record()}
	part := map[string]string{"POLYLINE": "VERTEX", "INSERT": "ATTRIB"}[e.name]
	if part == "" {
		return e
	}
	for x.at < len(x.tags) && x.tags[x.at].code == 0 && x.tags[x.at].value == part {
		e.vertices = append(e.vertices, x.record())
	}
	if x.at < len(x.tags) && x.tags[x.at].value == "SEQEND" {
		x.record()
	}
	return e
}

// layerOf returns the layer that an entity is on: what stands on layer 0 of a block
// is on that of its INSERT.
func (e *entity) layerOf(in *insert) string {
	name := unescape(e.text(8))
	if in != nil && (name == "0" || name == "") {
		return in.layer
	}
	return name
}

// unseen returns what kind of part the drawing program doesn't show an entity as; none
// where it does.
// A layer that is asked for is read though it is off or frozen.
func (x *dxf) unseen(e *entity, on string) thing {
	switch l := x.layers[key(on)]; {
	case e.text(67) == "1":
		return part("", " in paper space")
	case e.text(60) == "1":
		return part("invisible ", "")
	case x.options.Only != "":
		return thing{}
	case l.frozen:
		return part("", " on layer "+clip(on)+", which is frozen")
	case l.off && e.name != "INSERT": // the parts of a block have layers of their own
		return part("", " on layer "+clip(on)+", which is off")
	}
	return thing{}
}

// draw adds what an entity draws, in the model or in a block.
func (x *dxf) draw(e entity, in *insert) error {
	if x.visits++; x.visits > mostSegments {
		return refuse(e.line, "export the cut alone", "the drawing has more than %d parts", mostSegments)
	}
	on := e.layerOf(in)
	if what := x.unseen(&e, on); what != (thing{}) {
		x.pen.drawing.skip(what)
		return nil
	}
	if e.name == "INSERT" {
		return x.insert(e, on, in)
	}
	if x.options.Only != "" && !strings.EqualFold(on, x.options.Only) {
		if on != "" {
			x.pen.drawing.skip(part("", " on layer "+clip(on)))
		}
		return nil
	}
	add, known := map[string]func(record) error{
		"LINE": x.pen.line, "ARC": x.pen.arc, "CIRCLE": x.pen.circle, "LWPOLYLINE": x.pen.lightPolyline, "ELLIPSE": x.pen.ellipse, "SPLINE": x.pen.spline,
		"POLYLINE": func(r record) error { return x.pen.polyline(r, e.vertices) },
	}[e.name]
	if !known {
		x.pen.drawing.skip(byName(e.name))
		return nil
	}
	if err := x.place(in); err != nil {
		return err
	}
	if err := add(e.record); err != nil {
		return err
	}
	if on != "" && !slices.Contains(x.pen.drawing.Layers, on) {
		x.pen.drawing.Layers = append(x.pen.drawing.Layers, on)
	}
	return nil
}
