package glimpse

import (
	"math"

	"quoin/impose/pdfobj"
)

// space is a colour space, as far as its greys are known.
type space struct {
	components int // 0: not known
	grey       func(v []float64) (float64, bool)
	initial    float64 // of each component
}

var (
	deviceGray = &space{1, func(v []float64) (float64, bool) { return v[0], true }, 0}
	deviceRGB  = &space{3, func(v []float64) (float64, bool) { return .3*v[0] + .59*v[1] + .11*v[2], true }, 0} // 11.3.5.3
	deviceCMYK = &space{4, func(v []float64) (float64, bool) { return mixed(v), true }, 0}
	strange    = &space{}
)

// solids are the greys of the sixteen solids of four inks, out of 255, as PDFium shows
// them: cyan counts 1, magenta 2, yellow 4, black 8.
var solids = [16]float64{255, 128, 87, 58, 218, 106, 92, 53, 32, 6, 6, 0, 22, 2, 6, 0}

// mixed returns the grey of inks: the solids by how much of the paper each takes
// (Demichel, from memory).
func mixed(cmyk []float64) float64 {
	sum := 0.0
	for i, solid := range solids {
		share := 1.0
		for ink := range 4 {
			amount := min(max(cmyk[ink], 0), 1)
			if i>>ink&1 == 0 {
				amount = 1 - amount
			}
			share *= amount
		}
		sum += share * solid
	}
	return sum / 255
}

// paint returns what a colour paints.
func (s *space) paint(v []float64) paint {
	if s.components == 0 || len(v) != s.components {
		return paint{}
	}
	g, ok := s.grey(v)
	return paint{uint8(math.Round(255 * min(max(g, 0), 1))), ok}
}

// start returns what a space paints before a colour is said.
func (s *space) start() paint {
	if s == deviceCMYK {
		return s.paint([]float64{0, 0, 0, 1})
	}
	v := make([]float64, s.components)
	for i := range v {
		v[i] = s.initial
	}
	return s.paint(v)
}

// space reads a colour space (ISO 32000-1 8.6).
func (r reader) space(o pdfobj.Object, resources pdfobj.Dict, depth int) *space {
	v, err := r.Resolve(o)
	if err != nil || depth > 4 {
		return strange
	}
	switch v := v.(type) {
	case pdfobj.Name:
		switch v {
		case "DeviceGray", "G", "CalGray":
			return deviceGray
		case "DeviceRGB", "RGB", "CalRGB":
			return deviceRGB
		case "DeviceCMYK", "CMYK":
			return deviceCMYK
		}
		if named := r.Dict(resources["ColorSpace"])[v]; named != nil && depth == 0 {
			return r.space(named, nil, 1)
		}
	case pdfobj.Array:
		if len(v) > 0 {
			return r.spaceOf(r.Name(v[0]), v, depth)
		}
	}
	return strange
}

func (r reader) spaceOf(family pdfobj.Name, a pdfobj.Array, depth int) *space {
	switch {
	case len(a) == 1 || family == "CalGray" || family == "CalRGB":
		return r.space(family, nil, depth+1)
	case family == "ICCBased":
		n, _ := r.Number(r.Dict(a[1])["N"])
		switch n {
		case 1:
			return deviceGray
		case 3:
			return deviceRGB
		case 4:
			return deviceCMYK
		}
	case family == "Separation" && len(a) == 4 && r.Name(a[1]) != "None":
		base := r.space(a[2], nil, depth+1)
		if f := r.ramp(a[3], base.components); f != nil {
			return &space{1, func(v []float64) (float64, bool) { return base.grey(f(v[0])) }, 1}
		}
	}
	return strange
}

// ramp reads a function of one value between two colours (7.10.3); nil for any other.
func (r reader) ramp(o pdfobj.Object, components int) func(float64) []float64 {
	d := r.Dict(o)
	kind, _ := r.Number(d["FunctionType"])
	n, ok := r.Number(d["N"])
	c0, c1 := r.numbers(d["C0"]), r.numbers(d["C1"])
	if kind != 2 || !ok || components == 0 || len(c0) != components || len(c1) != components {
		return nil
	}
	return func(v float64) []float64 {
		out := make([]float64, components)
		for i := range out {
			out[i] = c0[i] + math.Pow(min(max(v, 0), 1), n)*(c1[i]-c0[i])
		}
		return out
	}
}
