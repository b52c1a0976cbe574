package geometry

import (
	"math/big"
)

// thicknessUnits holds what thickness is quoted in. A point here is the
// board maker's 1/1000 inch, not the typesetter's 1/72: that is why thickness
// has its own reading. Sources: mil, pa.msu.edu machine shop measurements;
// gauge, thepkglab.com material specs; point, ustar-duplexboard.com article 76.
var thicknessUnits = map[string]*big.Rat{
	"um":    big.NewRat(int64(Micrometre), 1),
	"µm":    big.NewRat(int64(Micrometre), 1), // U+00B5, the micro sign
	"μm":    big.NewRat(int64(Micrometre), 1), // U+03BC, the Greek letter
	"mm":    big.NewRat(int64(Millimetre), 1),
	"in":    big.NewRat(int64(Inch), 1),
	"mil":   big.NewRat(int64(Inch), 1000),
	"mils":  big.NewRat(int64(Inch), 1000),
	"gauge": big.NewRat(int64(Inch), 100_000),
	"pt":    big.NewRat(int64(Inch), 1000),
}

const thicknessHint = "write a unit behind the number: um, mm, in, mil, gauge (of film) or pt (of board), as in 60um, 2.6mil or 18pt"

// ParseThickness reads the thickness of a material: "60um", "2.6 mil", "50
// gauge", "18pt" (of board, 1/1000 inch). The value is exact to the nearest
// nanometre, and never negative.
func ParseThickness(text string) (Length, error) {
	l, err := parseIn(text, "a thickness", thicknessUnits, thicknessHint)
	if l < 0 {
		return 0, &NotationError{text, "is less than nothing", "a thickness is 0um or more"}
	}
	return l, err
}
