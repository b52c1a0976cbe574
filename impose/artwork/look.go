package artwork

import "math"

// approximate turns a colour into CMYK for screens and proofs. Exact colour
// is the RIP's: this only has to be recognised.
func approximate(sp *space, v []float64) [4]float64 {
	at := func(i int) float64 {
		if i < len(v) && !math.IsNaN(v[i]) {
			return v[i]
		}
		return 0
	}
	switch {
	case sp.family == graySpace:
		return [4]float64{3: unit(1 - at(0))}
	case sp.family == cmykSpace:
		return [4]float64{unit(at(0)), unit(at(1)), unit(at(2)), unit(at(3))}
	case sp.label == "Lab" || sp.label == "ICC-based Lab":
		return fromRGB(FromLab(at(0), at(1), at(2)))
	case sp.family == rgbSpace:
		return fromRGB(at(0), at(1), at(2))
	case sp.family == spotSpace && sp.tint != nil && sp.base != nil && sp.base.family != spotSpace:
		return approximate(sp.base, sp.tint.At(v...))
	}
	return [4]float64{}
}

func unit(v float64) float64 { return min(max(v, 0), 1) }

// fromRGB is the conversion of ISO 32000-1 10.3.4 with all of the grey
// component in black.
func fromRGB(r, g, b float64) [4]float64 {
	c, m, y := 1-unit(r), 1-unit(g), 1-unit(b)
	k := min(c, m, y)
	if k >= 1 {
		return [4]float64{0, 0, 0, 1}
	}
	return [4]float64{(c - k) / (1 - k), (m - k) / (1 - k), (y - k) / (1 - k), k}
}

// FromLab goes from CIELAB under D50 to sRGB (IEC 61966-2-1): the matrix is
// that of sRGB adapted to D50 by Bradford, from memory, not checked.
func FromLab(l, a, b float64) (red, green, blue float64) {
	inverse := func(t float64) float64 {
		if t > 6.0/29 {
			return t * t * t
		}
		return (t - 4.0/29) * 108 / 841
	}
	fy := (l + 16) / 116
	x, y, z := 0.9642*inverse(fy+a/500), inverse(fy), 0.8249*inverse(fy-b/200)
	curve := func(v float64) float64 {
		if v <= 0.0031308 {
			return unit(12.92 * v)
		}
		return unit(1.055*math.Pow(v, 1/2.4) - 0.055)
	}
	return curve(3.1339*x - 1.6169*y - 0.4906*z),
		curve(-0.9788*x + 1.9161*y + 0.0335*z),
		curve(0.0719*x - 0.2290*y + 1.4052*z)
}
