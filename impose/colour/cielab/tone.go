package cielab

import (
	"fmt"
	"math"
)

// Process names the stimulus in which a process ink is judged.
type Process byte

// The process inks.
const (
	Cyan Process = iota
	Magenta
	Yellow
	Black
)

// stimulus returns the number that falls as the ink's tone rises.
func (p Process) stimulus(c XYZ) float64 {
	switch p {
	case Cyan:
		return c.X - 0.55*c.Z
	case Yellow:
		return c.Z
	default:
		return c.Y
	}
}

// ToneValue returns the tone value in percent of a tint of a process ink: 100
// (Qp-Qt)/(Qp-Qs), where Q is X - 0.55 Z for cyan, Y for magenta and black, Z
// for yellow (ISO 10128:2009, 5.3, from memory).
func ToneValue(p Process, paper, solid, tint XYZ) (float64, error) {
	qp, qs, qt := p.stimulus(paper), p.stimulus(solid), p.stimulus(tint)
	if !(qp-qs > 1) {
		return 0, fmt.Errorf("the solid is not darker than the paper in this ink's stimulus: %.1f and %.1f", qs, qp)
	}
	if math.IsNaN(qt) {
		return 0, fmt.Errorf("the tint has no colour")
	}
	return 100 * (qp - qt) / (qp - qs), nil
}

// Increase returns the tone value increase in percentage points: the printed
// tone value less that of the file, both in percent.
func Increase(printed, file float64) float64 { return printed - file }

// SpotToneValue returns the tone value in percent of a spot colour's tint by ISO
// 20654:2017 (SCTV), for which a press that prints linearly reads 25, 50 and
// 75 for tints of 25, 50 and 75: 100 sqrt(sum (Vt-Vp)^2 / sum (Vs-Vp)^2) over
// V(X) = 116 f(X/Xn) - 16, V(Y) and V(Z). The standard's text was not read;
// two independent public implementations agree. The plain quotient of colour
// differences in CIELAB is not the standard's tone value.
func SpotToneValue(paper, solid, tint Lab) (float64, error) {
	p, s, t := paper.companded(), solid.companded(), tint.companded()
	all := distance(s, p)
	if !(all > 0) {
		return 0, fmt.Errorf("solid and paper have the same colour, or one has none")
	}
	part := distance(t, p)
	if math.IsNaN(part) {
		return 0, fmt.Errorf("the tint has no colour")
	}
	return 100 * part / all, nil
}

// companded returns V(X), V(Y) and V(Z) from CIELAB: L + 116 a/500, L and
// L - 116 b/200.
func (c Lab) companded() [3]float64 {
	return [3]float64{c.L + 116*c.A/500, c.L, c.L - 116*c.B/200}
}

func distance(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// GreyAim returns the colour that a neutral of cyan, magenta and yellow is to
// have on stock that is not neutral itself, at a lightness between the stock's
// and that of all three inks in full: a* = a*p (1 - 0.85 (L*p - L*) / (L*p -
// L*cmy)) and b* likewise (ISO 12647-2:2013, from memory, not checked).
func GreyAim(paper Lab, cmyL, l float64) (Lab, error) {
	if !(paper.L > cmyL) {
		return Lab{}, fmt.Errorf("the paper's lightness of %g is not above the three inks' of %g", paper.L, cmyL)
	}
	part := 1 - 0.85*(paper.L-l)/(paper.L-cmyL)
	return Lab{l, paper.A * part, paper.B * part}, nil
}

// Opacity returns a white's opacity in percent: its Y over black by that over
// white or bare stock (contrast ratio, ISO 6504-3 in its idea; in print common
// practice, no source).
func Opacity(overBlack, overWhite XYZ) (float64, error) {
	if !(overWhite.Y > 0) {
		return 0, fmt.Errorf("white over white has a Y of %g", overWhite.Y)
	}
	return 100 * overBlack.Y / overWhite.Y, nil
}
