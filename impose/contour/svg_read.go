package contour

import (
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// ReadSVG reads the outlines of an SVG file: path, rect, circle, ellipse,
// polygon, polyline and line, and what use refers to, with the transforms of
// their groups. The unit is that of width, height and viewBox; a file without
// them needs Options.Unit. What isn't shown (display, visibility, no opacity,
// neither fill nor stroke) is left out and counted; else painting is not looked
// at. Errors name the line of the file.
//
// Source: W3C, Scalable Vector Graphics (SVG) 1.1, chapters 5 to 9 and 11.
func ReadSVG(r io.Reader, o Options) (*Drawing, error) {
	text, err := plainText(r)
	if err != nil {
		return nil, err
	}
	root, err := parseTree(text)
	if err != nil {
		return nil, err
	}
	x := &svg{options: o, drawing: &Drawing{}, ids: map[string]*node{}}
	root.each(func(n *node) {
		if id := n.a["id"]; id != "" && x.ids[id] == nil {
			x.ids[id] = n
		}
		if n.name == "style" {
			x.rules = append(x.rules, parseRules(n.text)...)
		}
	})
	s, err := x.root(root.a, scope{to: identity, wanted: o.Only == ""})
	if err != nil {
		return nil, err
	}
	if err := x.inside(root, x.styled(root, s)); err != nil {
		return nil, err
	}
	if err := x.drawing.finish(x.pieces, o, downwards); err != nil {
		return nil, err
	}
	return x.drawing, nil
}

type svg struct {
	options Options
	drawing *Drawing
	pieces  []piece
	count   int // segments
	visits  int // elements, those that are referred to each time
	line    int // of the element at hand
	ids     map[string]*node
	rules   []rule
}

// mostDepth bounds how deep elements may lie in each other.
const mostDepth = 200

// scope is what an element hands to those inside it.
type scope struct {
	to            transform // from user units to nanometres
	wanted        bool      // inside the element that was asked for
	layer         string    // the drawing program's own, by its label
	unseen        thing     // what nothing in it is shown as; none where it is
	hidden        bool      // by its visibility, which an inner element may turn back
	fill, stroke  bool      // neither: nothing is painted
	width, height float64   // of the viewport, in user units; 0: not known
	depth         int
	used          []*node // by use, to find circles
}

// undrawn are the elements whose content is drawn only where it is referred to,
// or is no drawing.
var undrawn = map[string]bool{"defs": true, "clipPath": true, "mask": true, "symbol": true, "marker": true, "pattern": true, "metadata": true,
	"title": true, "desc": true, "style": true, "script": true, "linearGradient": true, "radialGradient": true, "filter": true, "namedview": true}

func (x *svg) inside(n *node, s scope) error {
	for _, child := range n.inner {
		if err := x.element(child, s); err != nil {
			return err
		}
	}
	return nil
}

// element draws one element and what lies in it.
func (x *svg) element(n *node, s scope) error {
	x.line = n.line
	if x.visits++; x.visits > mostSegments {
		return refuse(x.line, "export the cut alone", "the drawing has more than %d elements", mostSegments)
	}
	if s.depth++; s.depth > mostDepth {
		return refuse(x.line, "ungroup the drawing", "elements lie more than %d deep in each other", mostDepth)
	}
	if undrawn[n.name] {
		return nil
	}
	s = x.styled(n, s)
	if only := x.options.Only; only != "" && (n.a["id"] == only || n.label == only) {
		s.wanted, s.unseen, s.hidden = true, thing{}, false // asked for, it is read though it is hidden
	}
	if text := n.a["transform"]; text != "" {
		t, err := parseTransform(text)
		if err != nil {
			return refuse(x.line, "export the file again, or ungroup the drawing", "%v", err)
		}
		s.to = s.to.after(t)
	}
	switch n.name {
	case "g", "a", "switch":
		return x.inside(n, s)
	case "svg":
		s, err := x.viewport(n.a, s, true)
		if err != nil {
			return err
		}
		return x.inside(n, s)
	case "use":
		return x.use(n, s)
	}
	if !s.wanted {
		return nil
	}
	if what := s.notShown(); what != (thing{}) {
		x.drawing.skip(what)
		return nil
	}
	before := len(x.pieces)
	if err := x.shape(n.name, n.a, s.to); err != nil {
		return err
	}
	if s.layer != "" && len(x.pieces) > before && !slices.Contains(x.drawing.Layers, s.layer) {
		x.drawing.Layers = append(x.drawing.Layers, s.layer)
	}
	return nil
}

// use draws what it refers to, at x and y.
func (x *svg) use(n *node, s scope) error {
	target := x.ids[strings.TrimPrefix(n.a["href"], "#")]
	if target == nil || !strings.HasPrefix(n.a["href"], "#") {
		if !s.wanted {
			return nil
		}
		return refuse(x.line, "unlink all clones before the export, or bring what they refer to into the file", "the use element refers to %q, which the file doesn't hold", clip(n.a["href"]))
	}
	if slices.Contains(s.used, target) {
		return refuse(x.line, "unlink the clone before the export", "the use element refers to %q, which holds itself", clip(n.a["href"]))
	}
	s.used = append(slices.Clone(s.used), target)
	v, err := x.lengths(n.a, "x", "y")
	if err != nil {
		return err
	}
	s.to = s.to.after(transform{a: 1, d: 1, e: v["x"], f: v["y"]})
	if target.name != "symbol" {
		return x.element(target, s)
	}
	a := maps.Clone(target.a)
	for _, size := range [...]string{"width", "height"} { // those of use win
		if n.a[size] != "" {
			a[size] = n.a[size]
		}
	}
	s = x.styled(target, s)
	if s, err = x.viewport(a, s, false); err != nil {
		return err
	}
	return x.inside(target, s)
}

// shape adds what an element draws.
func (x *svg) shape(name string, a map[string]string, to transform) error {
	p := &pen{to: to}
	switch name {
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
		x.drawing.skip(byName(name))
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
