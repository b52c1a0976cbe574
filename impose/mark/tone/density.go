package tone

import (
	"fmt"
	"math"
)

// MurrayDavies gives the tone value in percent of a tint, from the densities
// of paper, solid and tint: 100 (1-10^-(Dt-D0)) / (1-10^-(Ds-D0)). A. Murray,
// Monochrome reproduction in photoengraving, 1936, as told by
// cmykhistory.com/murray-davies-equation-origin-story.
func MurrayDavies(paper, solid, tint float64) (float64, error) {
	return YuleNielsen(paper, solid, tint, 1)
}

// YuleNielsen is MurrayDavies with all exponents divided by n, which allows
// for light that scatters in the stock: 1 is Murray-Davies, about 2 fits stock
// that scatters strongly (stevenabbott.co.uk/practical-coatings/Yule-Nielsen.php).
func YuleNielsen(paper, solid, tint, n float64) (float64, error) {
	switch {
	case !(n >= 1) || math.IsInf(n, 0):
		return 0, fmt.Errorf("a Yule-Nielsen factor of %g; it is 1 or more", n)
	case !(solid > paper):
		return 0, fmt.Errorf("the solid's density of %g is not above the paper's of %g", solid, paper)
	case math.IsNaN(tint):
		return 0, fmt.Errorf("the tint has no density")
	}
	absorbed := func(d float64) float64 { return 1 - math.Pow(10, -(d-paper)/n) }
	return 100 * absorbed(tint) / absorbed(solid), nil
}

// Gain gives the tone value increase in percentage points: the printed tone
// value less that of the file, both in percent.
func Gain(printed, file float64) float64 { return printed - file }
