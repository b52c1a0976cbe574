package tone

import (
	"fmt"
	"math"
)

// XYZ is a colour in CIE XYZ for a white of D50 and the 2 degree observer,
// scaled so that Y of the perfect white is 100.
type XYZ struct{ X, Y, Z float64 }

// Lab is a colour in CIELAB for the same white and observer.
type Lab struct{ L, A, B float64 }

// d50 is the white of D50, 2 degree observer (ISO 13655, from memory, not
// checked).
var d50 = XYZ{96.422, 100, 82.521}

// Spot gives the tone value in percent of a spot colour's tint by ISO
// 20654:2017 (SCTV), for which a press that prints linearly reads 25, 50 and
// 75 for tints of 25, 50 and 75: 100 sqrt(sum (Vt-Vp)^2 / sum (Vs-Vp)^2) over
// V(X) = 116 f(X/Xn) - 16, V(Y) and V(Z). The standard's text was not read;
// two independent public implementations agree.
func Spot(paper, solid, tint XYZ) (float64, error) {
	return companded(paper.companded(), solid.companded(), tint.companded())
}

// SpotLab is Spot from CIELAB values: V(X) = L + 116 a/500, V(Y) = L and
// V(Z) = L - 116 b/200. The plain quotient of colour differences in CIELAB is
// not the standard's tone value.
func SpotLab(paper, solid, tint Lab) (float64, error) {
	return companded(paper.companded(), solid.companded(), tint.companded())
}

type triple [3]float64

func (c XYZ) companded() triple {
	return triple{116*f(c.X/d50.X) - 16, 116*f(c.Y/d50.Y) - 16, 116*f(c.Z/d50.Z) - 16}
}

func (c Lab) companded() triple {
	return triple{c.L + 116*c.A/500, c.L, c.L - 116*c.B/200}
}

// f is CIELAB's function, its straight part near black included (CIE 15).
func f(u float64) float64 {
	const knee = 6.0 / 29
	if u > knee*knee*knee {
		return math.Cbrt(u)
	}
	return 841.0/108*u + 4.0/29
}

func companded(paper, solid, tint triple) (float64, error) {
	all := distance(solid, paper)
	if !(all > 0) {
		return 0, fmt.Errorf("solid and paper have the same colour, or one has none")
	}
	part := distance(tint, paper)
	if math.IsNaN(part) {
		return 0, fmt.Errorf("the tint has no colour")
	}
	return 100 * part / all, nil
}

func distance(a, b triple) float64 {
	var sum float64
	for i := range a {
		sum += (a[i] - b[i]) * (a[i] - b[i])
	}
	return math.Sqrt(sum)
}
