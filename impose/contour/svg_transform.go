package contour

import (
	"fmt"
	"math"
	"strings"
)

// transform maps x, y to a x + c y + e, b x + d y + f, as SVG 1.1 section 7.4
// names the numbers.
type transform struct{ a, b, c, d, e, f float64 }

var identity = transform{a: 1, d: 1}

func scaled(x, y float64) transform { return transform{a: x, d: y} }

// after returns the transform that does u first.
func (t transform) after(u transform) transform {
	return transform{
		t.a*u.a + t.c*u.b, t.b*u.a + t.d*u.b,
		t.a*u.c + t.c*u.d, t.b*u.c + t.d*u.d,
		t.a*u.e + t.c*u.f + t.e, t.b*u.e + t.d*u.f + t.f,
	}
}

func (t transform) point(x, y float64) (float64, float64) {
	return t.a*x + t.c*y + t.e, t.b*x + t.d*y + t.f
}

// keepsCircles reports whether circles stay circles, and whether they change
// their sense of turning.
func (t transform) keepsCircles() (ok, mirrored bool) {
	size := math.Abs(t.a) + math.Abs(t.b)
	rotates := math.Abs(t.a-t.d)+math.Abs(t.b+t.c) < 1e-9*size
	mirrors := math.Abs(t.a+t.d)+math.Abs(t.b-t.c) < 1e-9*size
	return rotates || mirrors, mirrors && !rotates
}

// parseTransform reads a list of transforms; the first is done last.
func parseTransform(text string) (transform, error) {
	t := identity
	rest := strings.TrimSpace(text)
	for rest != "" {
		open := strings.IndexByte(rest, '(')
		end := strings.IndexByte(rest, ')')
		if open < 0 || end < open {
			return t, fmt.Errorf("the transform %q is damaged", clip(text))
		}
		name := strings.Trim(rest[:open], " \t\r\n,")
		n := scanner{text: rest[open+1 : end]}
		var v []float64
		for len(v) < 7 {
			x, ok := n.number()
			if !ok {
				break
			}
			v = append(v, x)
		}
		u, ok := named(name, v)
		if !ok || !n.finished() {
			return t, fmt.Errorf("the transform %q is damaged", clip(text))
		}
		t = t.after(u)
		rest = strings.TrimLeft(rest[end+1:], " \t\r\n,")
	}
	return t, nil
}

// named returns one transform of the list.
func named(name string, v []float64) (transform, bool) {
	n := len(v)
	switch {
	case name == "matrix" && n == 6:
		return transform{v[0], v[1], v[2], v[3], v[4], v[5]}, true
	case name == "translate" && n == 1:
		return transform{a: 1, d: 1, e: v[0]}, true
	case name == "translate" && n == 2:
		return transform{a: 1, d: 1, e: v[0], f: v[1]}, true
	case name == "scale" && n == 1:
		return scaled(v[0], v[0]), true
	case name == "scale" && n == 2:
		return scaled(v[0], v[1]), true
	case name == "rotate" && (n == 1 || n == 3):
		sin, cos := math.Sincos(v[0] * math.Pi / 180)
		turn := transform{cos, sin, -sin, cos, 0, 0}
		if n == 3 {
			there, back := transform{a: 1, d: 1, e: v[1], f: v[2]}, transform{a: 1, d: 1, e: -v[1], f: -v[2]}
			turn = there.after(turn).after(back)
		}
		return turn, true
	case name == "skewX" && n == 1:
		return transform{a: 1, c: math.Tan(v[0] * math.Pi / 180), d: 1}, true
	case name == "skewY" && n == 1:
		return transform{a: 1, b: math.Tan(v[0] * math.Pi / 180), d: 1}, true
	}
	return identity, false
}
