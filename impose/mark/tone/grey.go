package tone

import "fmt"

// GreyAim gives the colour that a neutral of cyan, magenta and yellow is to
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
