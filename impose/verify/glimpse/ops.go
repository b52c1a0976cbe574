package glimpse

import (
	"math"

	"quoin/impose/pdfobj"
)

// is reports whether an operator is this one and has so many numbers.
func is(operator, name string, v []float64, n int) bool { return operator == name && len(v) == n }

// general does the operators of the graphics state.
func (k *look) general(operator string, v []float64) (done bool, err error) {
	s := &k.state
	switch {
	case is(operator, "q", v, 0):
		if len(k.stack) >= mostSaved {
			return true, errContent
		}
		k.stack = append(k.stack, *s)
	case is(operator, "Q", v, 0):
		n := len(k.stack) - 1
		*s, k.stack = k.stack[n], k.stack[:n]
	case is(operator, "cm", v, 6):
		s.ctm = matrix(v).then(s.ctm)
	case is(operator, "w", v, 1):
		s.width = v[0]
	case is(operator, "M", v, 1):
		s.miter = v[0]
	case is(operator, "j", v, 1):
		s.round = v[0] != 0
	case is(operator, "J", v, 1), is(operator, "i", v, 1), is(operator, "BX", v, 0), is(operator, "EX", v, 0):
	default:
		return false, nil
	}
	return true, nil
}

// construct does the operators of paths.
func (k *look) construct(operator string, v []float64) (done bool, err error) {
	if constructs(operator, len(v)) {
		if k.path == nil {
			k.path = newOutline()
		}
		if !k.path.extend(operator, v, k.state.ctm) {
			err = errContent
		}
		return true, err
	}
	if len(v) > 0 {
		return false, nil
	}
	switch operator {
	case "W", "W*":
		k.clips, k.evenClip = true, operator == "W*"
		return true, nil
	case "n":
		k.paintPath(false, false, false)
	case "f", "F":
		k.paintPath(true, false, false)
	case "f*":
		k.paintPath(true, true, false)
	case "S", "s":
		k.paintPath(false, false, true)
	case "B", "b":
		k.paintPath(true, false, true)
	case "B*", "b*":
		k.paintPath(true, true, true)
	default:
		return false, nil
	}
	return true, nil
}

// extend adds an operator to the path, and reports whether it could.
func (o *outline) extend(operator string, v []float64, m matrix) bool {
	switch operator {
	case "m":
		o.move(m, point{v[0], v[1]})
	case "l":
		return o.line(m, point{v[0], v[1]})
	case "c":
		return o.curve(m, point{v[0], v[1]}, point{v[2], v[3]}, point{v[4], v[5]})
	case "v":
		return o.curve(m, o.last, point{v[0], v[1]}, point{v[2], v[3]})
	case "y":
		return o.curve(m, point{v[0], v[1]}, point{v[2], v[3]}, point{v[2], v[3]})
	case "h":
		return o.close(m)
	case "re":
		o.rectangle(m, v[0], v[1], v[2], v[3])
	}
	return true
}

// paintPath fills and strokes the path, and confines what follows where it is a clip.
func (k *look) paintPath(fill, even, stroke bool) {
	path, s := k.path, &k.state
	clips, evenClip := k.clips, k.evenClip
	k.path, k.clips = nil, false
	if path == nil {
		if clips {
			s.veiled = true // a clip of nothing
		}
		return
	}
	if fill {
		if even && !path.plain() {
			k.canvas.veil(path.bounds, s.clip)
		} else {
			k.canvas.fill(path, s.clip, k.with())
		}
	}
	if stroke {
		k.stroke(path)
	}
	if clips {
		if evenClip && !path.plain() {
			s.veiled = true
		}
		s.clip = s.clip.in(path)
	}
}

// stroke paints the places that a line may reach as unknown.
func (k *look) stroke(path *outline) {
	s := &k.state
	half := max(s.width*s.ctm.stretch()/2, 1) // the thinnest line is a pixel
	if !k.canvas.touched(path.bounds.grown(half*max(s.miter, 1)), s.clip) {
		return
	}
	for _, p := range path.parts {
		for i := 1; i < len(p); i++ {
			b := nowhere
			b.include(p[i-1])
			b.include(p[i])
			out := half * math.Sqrt2 // a square cap, a corner of a right angle
			if straight := p[i-1].x == p[i].x || p[i-1].y == p[i].y; !straight && !s.round {
				out = half * max(s.miter, math.Sqrt2)
			}
			k.canvas.veil(b.grown(out), s.clip)
		}
	}
}

// colour does the operators of colours that are filled with. What is stroked is unknown
// in any colour.
func (k *look) colour(operator string, list []pdfobj.Object, v []float64, resources pdfobj.Dict) (done bool, err error) {
	s := &k.state
	device := map[string]*space{"g": deviceGray, "rg": deviceRGB, "k": deviceCMYK}
	switch operator {
	case "g", "rg", "k":
		if len(v) != device[operator].components {
			return true, errContent
		}
		s.space = device[operator]
		s.paint = s.space.paint(v)
	case "cs":
		if len(list) != 1 {
			return true, errContent
		}
		s.space = k.r.space(pdfobj.NameAt(list, 0), resources, 0)
		if s.paint = (paint{}); s.space.components > 0 {
			s.paint = s.space.start()
		}
	case "sc", "scn":
		s.paint = s.space.paint(v)
	case "G", "RG", "K", "CS", "SC", "SCN", "ri", "d":
	default:
		return false, nil
	}
	return true, nil
}
