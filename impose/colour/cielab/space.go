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

// Chroma gives the distance from grey.
func (c Lab) Chroma() float64 { return math.Hypot(c.A, c.B) }

// Hue gives the hue angle, 0 to 360 degrees.
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

// Mean gives the middle of some colours, the zero colour of none.
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
