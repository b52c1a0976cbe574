package cielab

import (
	"fmt"
	"math"
)

// Spectrum is a reflectance curve: factors of the perfect white from First
// nanometres on, every Step.
type Spectrum struct {
	First, Step int
	Values      []float64
}

// Check says what keeps the curve from being turned into a colour.
func (s Spectrum) Check() error {
	last := s.First + s.Step*(len(s.Values)-1)
	switch {
	case len(s.Values) < 2:
		return fmt.Errorf("a spectrum of %d bands", len(s.Values))
	case s.Step < 1 || s.Step > 20:
		return fmt.Errorf("bands %d nm apart; 1 to 20 nm can be summed", s.Step)
	case s.First > 420 || last < 660:
		return fmt.Errorf("a spectrum from %d to %d nm is too short; 420 to 660 nm is the least", s.First, last)
	}
	for i, v := range s.Values {
		if !(v >= -0.05 && v <= 3) {
			return fmt.Errorf("a reflectance of %g at %d nm", v, s.First+i*s.Step)
		}
	}
	return nil
}

// XYZ sums the curve with observer and illuminant, normed to Y = 100 for a
// reflectance of 1 (ISO 13655). Tables of 10 nm are summed as they stand, the
// weights of bands missing at the ends added to the outermost ones; closer or
// wider bands are interpolated to 10 nm first. The sums are brought to White
// from the tables' own white, which differs by its rounding.
func (s Spectrum) XYZ() (XYZ, error) {
	if err := s.Check(); err != nil {
		return XYZ{}, err
	}
	var sum, white [3]float64
	for i, o := range observer {
		r := s.at(float64(firstBand + i*step))
		for k := range sum {
			w := o[k] * o[3]
			sum[k] += r * w
			white[k] += w
		}
	}
	n := 100 / white[1]
	return XYZ{sum[0] * n, sum[1] * n, sum[2] * n}.rounded(XYZ{white[0] * n, 100, white[2] * n}), nil
}

// rounded brings a colour from the white of the sums to that of ISO 13655.
func (c XYZ) rounded(from XYZ) XYZ {
	return XYZ{c.X * White.X / from.X, c.Y, c.Z * White.Z / from.Z}
}

// at returns the reflectance at a wavelength: between bands by a cubic through
// four of them (straight near the ends), beyond the ends that of the outermost.
func (s Spectrum) at(nm float64) float64 {
	x := (nm - float64(s.First)) / float64(s.Step)
	last := len(s.Values) - 1
	switch i := int(math.Floor(x)); {
	case x <= 0:
		return s.Values[0]
	case i >= last:
		return s.Values[last]
	case x == float64(i):
		return s.Values[i]
	case i == 0 || i == last-1:
		return s.Values[i] + (x-float64(i))*(s.Values[i+1]-s.Values[i])
	default:
		t := x - float64(i)
		a, b, c, d := s.Values[i-1], s.Values[i], s.Values[i+1], s.Values[i+2]
		return b + t/2*(c-a+t*(2*a-5*b+4*c-d+t*(3*(b-c)+d-a)))
	}
}
