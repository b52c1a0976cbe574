package press

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// Names of resources on a frame's page.
const (
	plainState     = "Plain"     // resets what an artwork could inherit
	overprintState = "Overprint" // for white and varnish over the colours
)

// plain is the graphics state that every artwork starts from. A form inherits
// the state of whoever paints it (ISO 32000-1 8.10.1), so an overprint left on
// by one item would change the next artwork.
func plain() pdfobj.Dict {
	return pdfobj.Dict{
		"Type": pdfobj.Name("ExtGState"),
		"OP":   false, "op": false, "OPM": pdfobj.Integer(0),
		"CA": pdfobj.Integer(1), "ca": pdfobj.Integer(1), "AIS": false,
		"BM": pdfobj.Name("Normal"), "SMask": pdfobj.Name("None"), "SA": false,
		"LW": pdfobj.Integer(1), "LC": pdfobj.Integer(0), "LJ": pdfobj.Integer(0), "ML": pdfobj.Integer(10),
		"D": pdfobj.Array{pdfobj.Array{}, pdfobj.Integer(0)},
	}
}

// overprinting leaves the other inks as they are. Mode 1 lets a process ink
// that is zero alone too (ISO 32000-1 11.7.4.3).
func overprinting() pdfobj.Dict {
	return pdfobj.Dict{
		"Type": pdfobj.Name("ExtGState"), "OP": true, "op": true, "OPM": pdfobj.Integer(1),
	}
}

// Frame writes one frame as the next page.
func (w *Writer) Frame(f draw.Frame) error {
	if w.err != nil {
		return w.err
	}
	w.err = w.frame(f)
	return w.err
}

func (w *Writer) frame(f draw.Frame) error {
	used := newResources()
	c := newCanvas(f.Size)
	for i, item := range f.Items {
		if err := w.item(c, &used, item); err != nil {
			return fmt.Errorf("item %d of the frame: %w", i+1, err)
		}
	}
	stream, err := putStream(w.out, pdfobj.Dict{}, c.buf, true)
	if err != nil {
		return err
	}
	_, err = w.addPage(f.Size, used.dict(), stream, pdfobj.Ref{})
	return err
}

// addPage adds a page of the frame's size, which belongs to a part of the document
// or to none.
func (w *Writer) addPage(size geometry.Size, resources, contents pdfobj.Object, part pdfobj.Ref) (pdfobj.Ref, error) {
	width, height := size.Across.Points(), size.Around.Points()
	box := pdfobj.Array{pdfobj.Integer(0), pdfobj.Integer(0), pdfobj.Real(round(width)), pdfobj.Real(round(height))}
	if w.setup.Mirror {
		var err error
		if contents, err = w.mirrored(width, contents); err != nil {
			return pdfobj.Ref{}, err
		}
	}
	dict := pdfobj.Dict{
		"Type": pdfobj.Name("Page"), "MediaBox": box, "BleedBox": box, "TrimBox": box,
		"Resources": resources, "Contents": contents,
	}
	if w.group != nil {
		dict["Group"] = w.group
	}
	if !part.IsZero() {
		dict["DPart"] = part
	}
	return w.pages.add(dict)
}

// canvas is the content of a page under way.
type canvas struct {
	ops
	page page
}

func newCanvas(size geometry.Size) *canvas {
	p := page{size.Around}
	return &canvas{ops{xy: p.xy}, p}
}

// resources are what one page names.
type resources struct{ xobjects, states, spaces, layers, fonts pdfobj.Dict }

func newResources() resources {
	return resources{pdfobj.Dict{}, pdfobj.Dict{}, pdfobj.Dict{}, pdfobj.Dict{}, pdfobj.Dict{}}
}

func (r *resources) dict() pdfobj.Dict {
	d := pdfobj.Dict{}
	for key, part := range map[pdfobj.Name]pdfobj.Dict{
		"XObject": r.xobjects, "ExtGState": r.states, "ColorSpace": r.spaces, "Properties": r.layers, "Font": r.fonts,
	} {
		if len(part) > 0 {
			d[key] = part
		}
	}
	return d
}

// item writes one item in a graphics state of its own.
func (w *Writer) item(c *canvas, used *resources, item draw.Item) error {
	switch it := item.(type) {
	case draw.Place:
		return w.place(c, used, it)
	case draw.Cover:
		return w.cover(c, used, it)
	case draw.Fill:
		return w.painted(c, used, it.Layer, it.Paint, true, func() {
			c.path(it.Path)
			c.op("f")
		})
	case draw.Stroke:
		return w.painted(c, used, it.Layer, it.Paint, false, func() {
			c.op("w", it.Width.Points())
			c.path(it.Path)
			c.op("S")
		})
	case draw.Text:
		return w.painted(c, used, it.Layer, it.Paint, true, func() {
			n := w.fonts.number(it.Font)
			used.fonts[pdfobj.Name(fontName(n))] = w.fonts.list[n].ref
			c.op("BT")
			c.font(n, it.Font)
			c.show(&it, c.page, &w.fonts.list[n].used)
			c.op("ET")
		})
	}
	return fmt.Errorf("unknown kind of item %T", item)
}

// place paints an artwork on its station: clip, plain state, matrix, form.
func (w *Writer) place(c *canvas, used *resources, it draw.Place) error {
	stands, m, err := w.stand(c, it)
	if err != nil {
		return err
	}
	used.xobjects[pdfobj.Name(stands.name)] = stands.ref
	used.states[plainState] = w.state(plainState)
	c.op("q")
	c.path(it.Clip)
	c.op("W")
	c.op("n")
	c.named(plainState, "gs")
	c.op("cm", m[:]...)
	c.named(stands.name, "Do")
	c.op("Q")
	return nil
}

// stand returns the form for a place and the matrix that puts it there.
func (w *Writer) stand(c *canvas, it draw.Place) (station, matrix, error) {
	if it.Art < 0 || it.Art >= len(w.forms.all) {
		return station{}, matrix{}, fmt.Errorf("it places artwork %d, and there are %d", it.Art+1, len(w.forms.all))
	}
	form := &w.forms.all[it.Art]
	m := c.page.placing(it, form.width, form.height)
	stands, err := w.forms.at(it.Art, m)
	return stands, m, err
}

// painted wraps the drawing of a path in its colour, overprint and layer.
func (w *Writer) painted(c *canvas, used *resources, layer draw.Layer, paint draw.Paint, fill bool, path func()) error {
	if layer == draw.Dimensions {
		return nil // for pictures, never for the press
	}
	properties, err := w.layers.step(layer)
	if err != nil {
		return err
	}
	if properties != nil {
		used.layers[pdfobj.Name(layer)] = properties
		c.begin(string(layer))
	}
	c.op("q")
	if err := w.choose(&c.ops, used, paint, fill); err != nil {
		return fmt.Errorf("on layer %s: %w", layer, err)
	}
	path()
	c.op("Q")
	if properties != nil {
		c.op("EMC")
	}
	return nil
}

// choose writes the colour and overprint of a paint.
func (w *Writer) choose(c *ops, used *resources, paint draw.Paint, fill bool) error {
	if len(paint.Tints) == 0 {
		return fmt.Errorf("a path has no ink")
	}
	col, err := w.plates.of(paint)
	if err != nil {
		return err
	}
	if paint.Overprint {
		used.states[overprintState] = w.state(overprintState)
		c.named(overprintState, "gs")
	}
	switch {
	case col.space == nil && fill:
		c.op("k", col.amounts...)
	case col.space == nil:
		c.op("K", col.amounts...)
	default:
		name := w.spaceName(col.key)
		used.spaces[pdfobj.Name(name)] = col.space
		c.tints(name, col.amounts, fill)
	}
	return nil
}

// spaceName returns a colour space its name on every page, by order of first use.
func (w *Writer) spaceName(key string) string {
	n, ok := w.spaceNumbers[key]
	if !ok {
		n = len(w.spaceNumbers) + 1
		w.spaceNumbers[key] = n
	}
	return fmt.Sprintf("Ink%d", n)
}

// state returns a graphics state parameter dictionary, written on first use.
func (w *Writer) state(name string) pdfobj.Object {
	if ref, ok := w.states[name]; ok {
		return ref
	}
	dict := plain()
	if name == overprintState {
		dict = overprinting()
	}
	ref, err := put(w.out, dict)
	w.keep(err)
	w.states[name] = ref
	return ref
}
