package cielab

import "math"

// XYZ is a colour in CIE XYZ, scaled so that Y of the perfect white is 100.
type XYZ struct{ X, Y, Z float64 }

// Lab is a colour in CIELAB.
type Lab struct {
	L float64 `json:"l"`
	A float64 `json:"a"`
	B float64 `json:"b"`
}

// White is D50 for the 2 degree observer, rounded as ISO 13655 has it.
var White = XYZ{96.42, 100, 82.49}

// Lab turns tristimulus values into CIELAB (ISO 11664-4).
func (c XYZ) Lab() Lab {
	x, y, z := f(c.X/White.X), f(c.Y/White.Y), f(c.Z/White.Z)
	return Lab{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// XYZ turns CIELAB back into tristimulus values.
func (c Lab) XYZ() XYZ {
	y := (c.L + 16) / 116
	return XYZ{White.X * inverse(y+c.A/500), White.Y * inverse(y), White.Z * inverse(y-c.B/200)}
}

// Chroma returns the distance from grey.
func (c Lab) Chroma() float64 { return math.Hypot(c.A, c.B) }

// Hue returns the hue angle, 0 to 360 degrees.
func (c Lab) Hue() float64 {
	if c.A == 0 && c.B == 0 {
		return 0
	}
	return math.Mod(math.Atan2(c.B, c.A)*180/math.Pi+360, 360)
}

// Valid reports whether all three are finite and within what a reflecting
// surface can show, fluorescence allowed for.
func (c Lab) Valid() bool {
	return c.L >= -1 && c.L <= 130 && math.Abs(c.A) <= 200 && math.Abs(c.B) <= 200
}

// Mean returns the middle of some colours, the zero colour of none.
func Mean(colours []Lab) (m Lab) {
	n := float64(max(1, len(colours)))
	for _, c := range colours {
		m.L, m.A, m.B = m.L+c.L/n, m.A+c.A/n, m.B+c.B/n
	}
	return m
}

// knee is where CIELAB's function turns straight (CIE 15).
const knee = 6.0 / 29

func f(u float64) float64 {
	if u > knee*knee*knee {
		return math.Cbrt(u)
	}
	return 841.0/108*u + 4.0/29
}

func inverse(v float64) float64 {
	if v > knee {
		return v * v * v
	}
	return (v - 4.0/29) * 108 / 841
}

// SRGB returns the colour for a screen, 8 bits each: adapted from D50 to D65
// (Bradford) and cut to what sRGB holds (IEC 61966-2-1). It is for looking at,
// never for judging.
func (c Lab) SRGB() (r, g, b uint8) {
	x := c.XYZ()
	level := func(kx, ky, kz float64) uint8 {
		v := (kx*x.X + ky*x.Y + kz*x.Z) / 100
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		return uint8(math.Round(255 * min(1, max(0, v))))
	}
	return level(3.1338561, -1.6168667, -0.4906146), level(-0.9787684, 1.9161415, 0.0334540), level(0.0719453, -0.2289914, 1.4052427)
}
