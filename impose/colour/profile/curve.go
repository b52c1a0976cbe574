package profile

import (
	"encoding/binary"
	"math"
)

// curves is one curve for each channel.
type curves []curve

type curve interface {
	at(v float64) float64
}

func (c curves) apply(v []float64) []float64 {
	for i := range v {
		v[i] = c[i].at(clamp(v[i]))
	}
	return v
}

// sampled is a curve of evenly spaced points.
type sampled []float64

func (s sampled) at(v float64) float64 {
	x := v * float64(len(s)-1)
	i := min(int(x), len(s)-2)
	return s[i] + (x-float64(i))*(s[i+1]-s[i])
}

// power is a curve that is a power of its input.
type power float64

func (p power) at(v float64) float64 { return math.Pow(v, float64(p)) }

// parametric is a curve of one of the five forms of parametricCurveType
// (ICC.1:2022, table 68): (a v + b)^g + e from d on, c v + f below.
type parametric struct{ g, a, b, c, d, e, f float64 }

func (p parametric) at(v float64) float64 {
	if v >= p.d {
		return math.Pow(max(0, p.a*v+p.b), p.g) + p.e
	}
	return p.c*v + p.f
}

// readCurves reads curves that stand one behind another, each padded to four
// bytes.
func readCurves(b []byte, n int) (curves, error) {
	var out curves
	for range n {
		c, size, err := readCurve(b)
		if err != nil {
			return nil, err
		}
		out = append(out, c)
		b = b[min(len(b), (size+3)&^3):]
	}
	return out, nil
}

// readCurve reads one curve and tells how many bytes it takes.
func readCurve(b []byte) (curve, int, error) {
	if len(b) < 12 {
		return nil, 0, errCut
	}
	switch string(b[:4]) {
	case "curv":
		n := int(binary.BigEndian.Uint32(b[8:]))
		r := &reader{b: b[12:], bytes: 2}
		switch {
		case n == 0:
			return power(1), 12, nil
		case n > len(r.b)/2:
			return nil, 0, errCut
		case n == 1:
			return power(float64(binary.BigEndian.Uint16(b[12:])) / 256), 14, nil
		}
		return sampled(r.take(n)), 12 + 2*n, nil
	case "para":
		return readParametric(b)
	}
	return nil, 0, errorf("a curve of the form %q can't be evaluated", b[:4])
}

func readParametric(b []byte) (curve, int, error) {
	form := int(binary.BigEndian.Uint16(b[8:]))
	counts := []int{1, 3, 4, 5, 7}
	if form >= len(counts) {
		return nil, 0, errorf("a parametric curve of the form %d", form)
	}
	n := counts[form]
	if len(b) < 12+4*n {
		return nil, 0, errCut
	}
	v := make([]float64, 7)
	for i := range n {
		v[i] = fixed(b[12+4*i:])
	}
	p := parametric{g: v[0], a: 1, d: math.Inf(-1)}
	switch form {
	case 1, 2: // below -b/a nothing, or c
		p.a, p.b, p.e, p.f = v[1], v[2], v[3], v[3]
		if p.a != 0 {
			p.d = -p.b / p.a
		}
	case 3, 4:
		p.a, p.b, p.c, p.d, p.e, p.f = v[1], v[2], v[3], v[4], v[5], v[6]
	}
	return p, 12 + 4*n, nil
}

// affine is a matrix of three rows and then three offsets.
type affine [12]float64

func (m affine) apply(v []float64) []float64 {
	out := make([]float64, 3)
	for i := range out {
		out[i] = m[3*i]*v[0] + m[3*i+1]*v[1] + m[3*i+2]*v[2] + m[9+i]
	}
	return out
}
