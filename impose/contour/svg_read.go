package contour

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// ReadSVG reads the outlines of an SVG file: path, rect, circle, ellipse,
// polygon, polyline and line, with the transforms of their groups. The unit is
// that of width, height and viewBox; a file without them needs Options.Unit.
// How things are painted is not looked at. Errors are *Error with the line of
// the file.
//
// Source: W3C, Scalable Vector Graphics (SVG) 1.1, chapters 7 to 9.
func ReadSVG(r io.Reader, o Options) (*Drawing, error) {
	limited := &io.LimitedReader{R: r, N: mostBytes + 1}
	x := &svg{decoder: xml.NewDecoder(limited), options: o, drawing: &Drawing{}}
	if err := x.read(); err != nil {
		if limited.N <= 0 {
			return nil, refuse(0, "export the cut alone", "the file is larger than %d MB", mostBytes>>20)
		}
		return nil, err
	}
	if err := x.drawing.finish(x.pieces, o, downwards); err != nil {
		return nil, err
	}
	return x.drawing, nil
}

type svg struct {
	decoder *xml.Decoder
	options Options
	drawing *Drawing
	pieces  []piece
	count   int
	line    int // of the element at hand
	rooted  bool
}

// mostDepth bounds how deep elements may lie in each other.
const mostDepth = 200

// scope is what an element hands to those inside it.
type scope struct {
	to     transform // from user units to nanometres
	hidden bool      // a definition, not a drawing
	wanted bool      // inside the element that was asked for
}

func (x *svg) read() error {
	scopes := []scope{{to: identity, wanted: x.options.Only == ""}}
	for {
		x.line, _ = x.decoder.InputPos()
		token, err := x.decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var syntax *xml.SyntaxError
			if errors.As(err, &syntax) {
				return refuse(syntax.Line, "export the file again", "the XML is damaged: %s", syntax.Msg)
			}
			return fmt.Errorf("reading the SVG: %w", err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			if len(scopes) > mostDepth {
				return refuse(x.line, "ungroup the drawing", "elements lie more than %d deep in each other", mostDepth)
			}
			inner, err := x.element(e, scopes[len(scopes)-1])
			if err != nil {
				return err
			}
			scopes = append(scopes, inner)
		case xml.EndElement:
			scopes = scopes[:len(scopes)-1]
		}
	}
	if !x.rooted {
		return refuse(0, "check that this is an SVG file", "the file holds no svg element")
	}
	return nil
}

// attributes gives an element's by their local names.
func attributes(e xml.StartElement) map[string]string {
	m := map[string]string{}
	for _, a := range e.Attr {
		if a.Name.Space == "" {
			m[a.Name.Local] = strings.TrimSpace(a.Value)
		}
	}
	return m
}

// element reads one element and gives the scope of what lies in it.
func (x *svg) element(e xml.StartElement, outer scope) (scope, error) {
	name, a := e.Name.Local, attributes(e)
	if !x.rooted {
		if name != "svg" {
			return outer, refuse(x.line, "check that this is an SVG file", "the file begins with the element %q, not svg", clip(name))
		}
		x.rooted = true
		return x.root(a, outer)
	}
	inner := outer
	if x.options.Only != "" && a["id"] == x.options.Only {
		inner.wanted = true
	}
	if text := a["transform"]; text != "" {
		t, err := parseTransform(text)
		if err != nil {
			return outer, refuse(x.line, "export the file again, or ungroup the drawing", "%v", err)
		}
		inner.to = inner.to.after(t)
	}
	switch name {
	case "defs", "clipPath", "mask", "symbol", "marker", "pattern", "metadata", "title", "desc", "style", "script", "linearGradient", "radialGradient", "filter":
		inner.hidden = true
	}
	if inner.hidden || !inner.wanted {
		return inner, nil
	}
	return inner, x.shape(name, a, inner.to)
}

// shape adds what an element draws.
func (x *svg) shape(name string, a map[string]string, to transform) error {
	p := &pen{to: to}
	switch name {
	case "g", "a", "switch":
		return nil
	case "use":
		return refuse(x.line, "unlink all clones before the export", "the use element refers to %q, and references are not followed", clip(a["href"]))
	case "svg":
		return refuse(x.line, "ungroup the drawing", "an svg element lies in another, which is not read")
	case "path":
		if err := p.path(a["d"]); err != nil {
			return refuse(x.line, "export the file again", "the path is damaged: %v", err)
		}
	case "polygon", "polyline":
		if err := p.points(a["points"], name == "polygon"); err != nil {
			return refuse(x.line, "export the file again", "the %s is damaged: %v", name, err)
		}
	case "rect", "circle", "ellipse", "line":
		v, err := x.lengths(a, "x", "y", "width", "height", "rx", "ry", "cx", "cy", "r", "x1", "y1", "x2", "y2")
		if err != nil {
			return err
		}
		p.basic(name, v)
	default:
		x.drawing.skip(name)
		return nil
	}
	if p.far {
		return refuse(x.line, "check the unit, or move the drawing to its origin", "the %s reaches farther than %s from the origin", name, outline.Reach)
	}
	for _, c := range p.done() {
		if x.count += len(c.Segments); x.count > mostSegments {
			return refuse(x.line, "export the cut alone", "the drawing has more than %d lines and curves", mostSegments)
		}
		c.line = x.line
		x.pieces = append(x.pieces, c)
	}
	return nil
}

// root sets the scale from the size of the drawing.
func (x *svg) root(a map[string]string, s scope) (scope, error) {
	if x.options.Unit > 0 {
		s.to = scaled(float64(x.options.Unit), float64(x.options.Unit))
		return s, nil
	}
	width, okW := cssLength(a["width"])
	height, okH := cssLength(a["height"])
	if !okW || !okH {
		return s, refuse(x.line, "set the size of the page in millimetres, or name the unit of the drawing, as in mm", "the drawing does not say its size: width and height are lengths in a unit, as in 90mm")
	}
	box := strings.FieldsFunc(a["viewBox"], func(r rune) bool { return r == ' ' || r == ',' || r == '\t' || r == '\n' || r == '\r' })
	if len(box) == 0 { // without a viewBox a user unit is a pixel
		s.to = scaled(pixel, pixel)
		return s, nil
	}
	var v [4]float64
	for i := range box {
		n, err := strconv.ParseFloat(box[i], 64)
		if err != nil || len(box) != 4 || math.IsInf(n, 0) || math.IsNaN(n) {
			return s, refuse(x.line, "export the file again", "the viewBox %q is not four numbers", clip(a["viewBox"]))
		}
		v[i] = n
	}
	if v[2] <= 0 || v[3] <= 0 || width <= 0 || height <= 0 {
		return s, refuse(x.line, "width, height and viewBox are more than 0", "the drawing has no size")
	}
	sx, sy := width/v[2], height/v[3]
	if a["preserveAspectRatio"] != "none" { // the drawing is fitted in evenly
		sx = min(sx, sy)
		if strings.Contains(a["preserveAspectRatio"], "slice") {
			sx = max(width/v[2], sy)
		}
		sy = sx
	}
	s.to = scaled(sx, sy)
	return s, nil
}

// pixel is the reference pixel, 1/96 inch (W3C, CSS Values and Units).
const pixel = float64(geometry.Inch) / 96

// cssUnits are the absolute units in nanometres.
var cssUnits = map[string]float64{
	"mm": float64(geometry.Millimetre), "cm": float64(geometry.Centimetre), "in": float64(geometry.Inch),
	"pt": float64(geometry.Inch) / 72, "pc": float64(geometry.Inch) / 6, "q": float64(geometry.Millimetre) / 4,
	"px": pixel, "": pixel,
}

// cssLength reads a length with an absolute unit, in nanometres.
func cssLength(text string) (float64, bool) {
	number := strings.TrimRight(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ%")
	unit, ok := cssUnits[strings.ToLower(text[len(number):])]
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	return v * unit, ok && err == nil && !math.IsInf(v, 0) && !math.IsNaN(v)
}

// lengths reads attributes in user units; those with a unit are turned to
// pixels, which user units are wherever units are allowed.
func (x *svg) lengths(a map[string]string, names ...string) (map[string]float64, error) {
	v := map[string]float64{}
	for _, n := range names {
		text, there := a[n]
		if !there || text == "auto" {
			continue
		}
		nm, ok := cssLength(text)
		if !ok {
			return nil, refuse(x.line, "write a number, or one with an absolute unit", "%s=%q is no length", n, clip(text))
		}
		v[n] = nm / pixel
	}
	return v, nil
}
