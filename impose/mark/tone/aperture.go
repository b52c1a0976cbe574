package tone

import (
	"fmt"

	"quoin/geometry"
)

// ScreenWidth gives the distance of the lines of a halftone screen ruled in
// lines per inch.
func ScreenWidth(linesPerInch float64) (geometry.Length, error) {
	if !(linesPerInch > 0) {
		return 0, fmt.Errorf("a screen of %g lines per inch", linesPerInch)
	}
	return geometry.FromMM(geometry.Inch.MM() / linesPerInch), nil
}

// Aperture gives the diameter that an instrument's opening should have on a
// screen of such a width, and the least that it may have: 15 and 10 times the
// width (ISO 13655 and ISO 14981, from memory, not checked). A patch has to be
// wider, by what the instrument may miss its middle on both sides.
func Aperture(screenWidth geometry.Length) (good, least geometry.Length) {
	return 15 * screenWidth, 10 * screenWidth
}
