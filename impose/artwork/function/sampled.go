package function

import (
	"fmt"
	"io"
	"math"

	"quoin/impose/pdfobj"
)

// sampled is type 0, 7.10.2: a table of samples, between which it
// interpolates linearly in all inputs at once.
type sampled struct {
	size    []int
	encode  []float64
	decode  []float64
	samples []byte
	bits    int
	out     int
	domain  []float64
}

// maxSamples bounds the bytes of one table: 10 inputs with 4 steps and 8
// outputs of 8 bits.
const maxSamples = 8 << 20

// maxSampledInputs bounds the corners between which one evaluation
// interpolates to 65,536.
const maxSampledInputs = 16

func (r *Reader) parseSampled(stream *pdfobj.Stream, f *Function) (kind, int, error) {
	doc := r.doc
	if stream == nil || f.rng == nil || f.Inputs() > maxSampledInputs {
		return nil, 0, fmt.Errorf("%w: a sampled function needs a stream, a Range and at most %d inputs", ErrFunction, maxSampledInputs)
	}
	s := &sampled{out: len(f.rng) / 2, domain: f.domain}
	bits, _ := doc.Int(stream.Dict["BitsPerSample"])
	switch bits {
	case 1, 2, 4, 8, 12, 16, 24, 32:
		s.bits = int(bits)
	default:
		return nil, 0, fmt.Errorf("%w: samples of %d bits", ErrFunction, bits)
	}
	size, ok := doc.Numbers(stream.Dict["Size"])
	if !ok || len(size) != f.Inputs() {
		return nil, 0, fmt.Errorf("%w: it has no valid Size", ErrFunction)
	}
	total := int64(s.bits * s.out)
	for _, v := range size {
		if !(v >= 1 && v <= maxSamples) || total > 8*maxSamples {
			return nil, 0, fmt.Errorf("%w: its Size is not valid", ErrFunction)
		}
		s.size = append(s.size, int(v))
		total *= int64(v)
	}
	need := (total + 7) / 8
	if need > maxSamples {
		return nil, 0, fmt.Errorf("%w: its table of samples is too large", ErrFunction)
	}
	if err := r.spend(need); err != nil {
		return nil, 0, err
	}
	s.encode = pairs(doc, stream.Dict["Encode"], func(i int) (float64, float64) { return 0, float64(s.size[i] - 1) }, f.Inputs())
	s.decode = pairs(doc, stream.Dict["Decode"], func(i int) (float64, float64) { return f.rng[2*i], f.rng[2*i+1] }, s.out)
	data, err := doc.Decoded(stream)
	if err != nil {
		return nil, 0, err
	}
	if s.samples, err = io.ReadAll(io.LimitReader(data, need)); err != nil {
		return nil, 0, err
	}
	if int64(len(s.samples)) < need {
		return nil, 0, fmt.Errorf("%w: %d bytes of samples where %d are needed", ErrFunction, len(s.samples), need)
	}
	return s, s.out, nil
}

// pairs reads n pairs of numbers, or takes the default for each.
func pairs(doc *pdfobj.Document, o pdfobj.Object, otherwise func(i int) (float64, float64), n int) []float64 {
	if v, ok := doc.Numbers(o); ok && len(v) >= 2*n {
		return v[:2*n]
	}
	v := make([]float64, 2*n)
	for i := range n {
		v[2*i], v[2*i+1] = otherwise(i)
	}
	return v
}

func (s *sampled) at(in []float64) []float64 {
	low := make([]int, len(in))
	part := make([]float64, len(in))
	for i, x := range in {
		e := interpolate(x, s.domain[2*i], s.domain[2*i+1], s.encode[2*i], s.encode[2*i+1])
		e = clip(e, 0, float64(s.size[i]-1))
		low[i] = min(int(e), max(0, s.size[i]-2))
		part[i] = e - float64(low[i])
	}
	out := make([]float64, s.out)
	for corner := range 1 << len(in) {
		weight, index, stride := 1.0, 0, 1
		for i := range in {
			at := low[i]
			if corner>>i&1 == 1 {
				weight *= part[i]
				at++
			} else {
				weight *= 1 - part[i]
			}
			index += at * stride
			stride *= s.size[i]
		}
		if weight == 0 {
			continue // also keeps the corner beyond the last sample out
		}
		for j := range out {
			out[j] += weight * s.sample(index*s.out+j)
		}
	}
	most := math.Pow(2, float64(s.bits)) - 1
	for j := range out {
		out[j] = interpolate(out[j], 0, most, s.decode[2*j], s.decode[2*j+1])
	}
	return out
}

// sample reads sample i of the table, which is one run of bits without gaps.
func (s *sampled) sample(i int) float64 {
	bit := i * s.bits
	var v uint64
	for range s.bits {
		v = v<<1 | uint64(s.samples[bit/8]>>(7-bit%8)&1)
		bit++
	}
	return float64(v)
}
