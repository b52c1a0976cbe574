package function

import (
	"fmt"
	"math"

	"quoin/impose/pdfobj"
)

// exponential is type 2, 7.10.3: from c0 to c1 along x to the power n.
type exponential struct {
	c0, c1 []float64
	n      float64
}

func parseExponential(doc *pdfobj.Document, dict pdfobj.Dict) (kind, int, error) {
	f := exponential{c0: []float64{0}, c1: []float64{1}, n: 1}
	if v, ok := doc.Numbers(dict["C0"]); ok {
		f.c0 = v
	}
	if v, ok := doc.Numbers(dict["C1"]); ok {
		f.c1 = v
	}
	if n, ok := doc.Number(dict["N"]); ok {
		f.n = n
	}
	if len(f.c0) != len(f.c1) || len(f.c0) == 0 || len(f.c0) > maxValues {
		return nil, 0, fmt.Errorf("%w: C0 has %d values and C1 has %d", ErrFunction, len(f.c0), len(f.c1))
	}
	return f, len(f.c0), nil
}

func (f exponential) at(in []float64) []float64 {
	p := in[0]
	if f.n != 1 {
		p = math.Pow(p, f.n)
	}
	out := make([]float64, len(f.c0))
	for i := range out {
		out[i] = f.c0[i] + p*(f.c1[i]-f.c0[i])
	}
	return out
}

// stitched is type 3, 7.10.4: functions side by side.
type stitched struct {
	parts  []*Function
	edges  []float64 // where the parts meet, with the ends of the domain
	encode []float64 // pairs, one for each part
}

func (r *Reader) parseStitched(dict pdfobj.Dict, f *Function, depth int) (kind, int, error) {
	doc := r.doc
	list := doc.Array(dict["Functions"])
	bounds, ok1 := doc.Numbers(dict["Bounds"])
	encode, ok2 := doc.Numbers(dict["Encode"])
	if len(list) == 0 || !ok1 || !ok2 || len(bounds) != len(list)-1 || len(encode) < 2*len(list) || len(list) > maxParts {
		return nil, 0, fmt.Errorf("%w: %d functions with %d bounds and %d encode values can't be stitched",
			ErrFunction, len(list), len(bounds), len(encode))
	}
	s := stitched{encode: encode}
	s.edges = append(append(append(s.edges, f.domain[0]), bounds...), f.domain[1])
	for _, o := range list {
		part, err := r.parse(o, depth+1)
		if err != nil {
			return nil, 0, err
		}
		if part.Inputs() != 1 || len(s.parts) > 0 && part.out != s.parts[0].out {
			return nil, 0, fmt.Errorf("%w: the stitched functions don't have the same outputs", ErrFunction)
		}
		s.parts = append(s.parts, part)
	}
	return s, s.parts[0].out, nil
}

// maxParts bounds the functions of one stitching; long gradients have a few
// hundred.
const maxParts = 4096

func (s stitched) at(in []float64) []float64 {
	x, i := in[0], 0
	for i < len(s.parts)-1 && x >= s.edges[i+1] {
		i++
	}
	return s.parts[i].At(interpolate(x, s.edges[i], s.edges[i+1], s.encode[2*i], s.encode[2*i+1]))
}

// interpolate maps x from one interval to another (7.10.2); an empty interval
// maps to the start of the other.
func interpolate(x, low, high, toLow, toHigh float64) float64 {
	if high == low {
		return toLow
	}
	return toLow + (x-low)*(toHigh-toLow)/(high-low)
}
