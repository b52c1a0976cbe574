package contour

import (
	"math"
	"strconv"
	"strings"
)

// root sets the scale from the size of the drawing.
func (x *svg) root(a map[string]string, s scope) (scope, error) {
	x.line = max(x.line, 1)
	box, boxed, err := x.viewBox(a)
	if err != nil {
		return s, err
	}
	s.width, s.height = box[2], box[3]
	if x.options.Unit > 0 {
		s.to = scaled(float64(x.options.Unit), float64(x.options.Unit))
		return s, nil
	}
	width, okW := cssLength(a["width"])
	height, okH := cssLength(a["height"])
	if !okW || !okH {
		return s, refuse(x.line, "set the size of the page in millimetres, or name the unit of the drawing, as in mm", "the drawing does not say its size: width and height are lengths in a unit, as in 90mm")
	}
	if !boxed { // without a viewBox a user unit is a pixel
		s.to = scaled(pixel, pixel)
		s.width, s.height = width/pixel, height/pixel
		return s, nil
	}
	if box[2] <= 0 || box[3] <= 0 || width <= 0 || height <= 0 {
		return s, refuse(x.line, "width, height and viewBox are more than 0", "the drawing has no size")
	}
	s.to = fitted(box, width, height, a["preserveAspectRatio"])
	return s, nil
}

// viewBox reads the four numbers.
func (x *svg) viewBox(a map[string]string) (v [4]float64, there bool, err error) {
	list := strings.FieldsFunc(a["viewBox"], func(r rune) bool { return r == ' ' || r == ',' || r == '\t' || r == '\n' || r == '\r' })
	for i := range list {
		n, err := strconv.ParseFloat(list[i], 64)
		if err != nil || len(list) != 4 || math.IsInf(n, 0) || math.IsNaN(n) {
			return v, false, refuse(x.line, "export the file again", "the viewBox %q is not four numbers", clip(a["viewBox"]))
		}
		v[i] = n
	}
	return v, len(list) > 0, nil
}

// fitted maps a viewBox into a viewport at the origin, SVG 1.1 section 7.8.
func fitted(box [4]float64, width, height float64, rule string) transform {
	sx, sy := width/box[2], height/box[3]
	align, how, _ := strings.Cut(strings.TrimSpace(rule), " ")
	if align != "none" { // fitted in evenly
		least := min(sx, sy)
		if strings.TrimSpace(how) == "slice" {
			least = max(sx, sy)
		}
		sx, sy = least, least
	}
	share := func(axis string) float64 {
		switch {
		case align == "none" || strings.Contains(align, axis+"Min"):
			return 0
		case strings.Contains(align, axis+"Max"):
			return 1
		}
		return 0.5
	}
	return transform{a: sx, d: sy, e: (width-box[2]*sx)*share("x") - box[0]*sx, f: (height-box[3]*sy)*share("Y") - box[1]*sy}
}

// viewport enters an svg element in another, or a symbol, whose place use says.
func (x *svg) viewport(a map[string]string, s scope, placed bool) (scope, error) {
	size := func(name string, outer float64) (float64, bool) {
		text := a[name]
		if share, percent := strings.CutSuffix(text, "%"); percent || text == "" || text == "auto" {
			v, err := strconv.ParseFloat(share, 64)
			if !percent {
				v, err = 100, nil
			}
			return outer * v / 100, err == nil && outer > 0
		}
		nm, ok := cssLength(text)
		return nm / pixel, ok
	}
	if placed {
		v, err := x.lengths(a, "x", "y")
		if err != nil {
			return s, err
		}
		s.to = s.to.after(transform{a: 1, d: 1, e: v["x"], f: v["y"]})
	}
	box, boxed, err := x.viewBox(a)
	if err != nil || !boxed {
		return s, err
	}
	width, okW := size("width", s.width)
	height, okH := size("height", s.height)
	if !okW || !okH || width <= 0 || height <= 0 || box[2] <= 0 || box[3] <= 0 {
		return s, refuse(x.line, "give it width, height and viewBox, or ungroup the drawing", "an svg element or symbol in another does not say its size")
	}
	s.to = s.to.after(fitted(box, width, height, a["preserveAspectRatio"]))
	s.width, s.height = box[2], box[3]
	return s, nil
}
