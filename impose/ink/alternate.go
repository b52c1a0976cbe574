package ink

import (
	"math"
	"strings"

	"quoin/impose/say"
)

// Alternate is what a colour space says a spot looks like where there is no
// such ink (ISO 32000-1 8.6.6.4): the alternate colour space and the colours
// that the tint transform gives there.
type Alternate struct {
	Space string    // "DeviceCMYK", "Lab", ...; "" when there is none
	Full  []float64 // the colour of the full tint
	Half  []float64 // the colour of half the tint: catches a different curve
}

// alternateTolerance is half a level of 8 bits, the finest that a proof
// shows: writers round their tint transforms to less.
const alternateTolerance = 0.5 / 255

// Same reports whether both describe one look.
func (a Alternate) Same(b Alternate) bool {
	return a.Space == b.Space && close(a.Full, b.Full) && close(a.Half, b.Half)
}

func close(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		// Lab components run to 100 and beyond, all others to 1.
		if math.Abs(a[i]-b[i]) > alternateTolerance*max(1, math.Abs(a[i])) {
			return false
		}
	}
	return true
}

// String returns the space and the full colour, such as "DeviceCMYK 0 0.2 0.9 0".
func (a Alternate) String() string {
	if a.Space == "" {
		return "no alternate"
	}
	parts := []string{a.Space}
	for _, v := range a.Full {
		parts = append(parts, say.Digits(v))
	}
	return strings.Join(parts, " ")
}
