package geometry

import (
	"fmt"
	"math"
)

// Gear says how far around one tooth of a cylinder's gear reaches.
//
// Circular pitch gears advance by their pitch for every tooth; diametral pitch
// gears (teeth per inch of diameter) by pi/DP inch; metric gears by pi times
// their module. Source: FTA, Flexography: Principles and Practices, vol. 1,
// p. 85; the module's definition is that of ISO 54 (from memory).
type Gear struct {
	system gearSystem
	pitch  Length  // circular pitch or module
	dp     float64 // diametral pitch, teeth per inch
}

type gearSystem uint8

const (
	circularPitch gearSystem = iota
	diametralPitch
	module
)

// CircularPitch is a gear of so much per tooth, as 1/8 inch or 1/4 inch.
func CircularPitch(pitch Length) Gear { return Gear{system: circularPitch, pitch: pitch} }

// DiametralPitch is a gear of dp teeth per inch of its pitch diameter.
func DiametralPitch(dp float64) Gear { return Gear{system: diametralPitch, dp: dp} }

// Module is a metric gear of m per tooth of its pitch diameter.
func Module(m Length) Gear { return Gear{system: module, pitch: m} }

// nanometresPerTooth gives the advance of one tooth.
func (g Gear) nanometresPerTooth() float64 {
	switch g.system {
	case diametralPitch:
		return math.Pi * float64(Inch) / g.dp
	case module:
		return math.Pi * float64(g.pitch)
	}
	return float64(g.pitch)
}

// Repeat returns the length around of a cylinder with so many teeth: exact for
// circular pitch, to the nearest nanometre for the others.
func (g Gear) Repeat(teeth int) Length {
	if g.system == circularPitch {
		return g.pitch * Length(teeth)
	}
	return roundFloat(float64(teeth) * g.nanometresPerTooth())
}

// TeethFor returns the least number of teeth whose repeat is at least l, which
// is 0 when l isn't positive or the gear is no gear.
func (g Gear) TeethFor(l Length) int {
	if l <= 0 || g.Check() != nil {
		return 0
	}
	n := int(math.Ceil(float64(l) / g.nanometresPerTooth()))
	// The quotient is only near: step to the exact answer, at most one tooth away.
	for n > 0 && g.Repeat(n-1) >= l {
		n--
	}
	for g.Repeat(n) < l {
		n++
	}
	return n
}

// TeethWithin returns the largest number of teeth whose repeat is at most l, 0
// when there is none.
func (g Gear) TeethWithin(l Length) int {
	n := g.TeethFor(l)
	if n > 0 && g.Repeat(n) > l {
		n--
	}
	return n
}

// Check refuses a gear whose tooth reaches less than a micrometre or further
// than a metre: such numbers are mistakes, and the other methods need not care.
func (g Gear) Check() error {
	if step := g.nanometresPerTooth(); step >= float64(Micrometre) && step <= float64(Metre) {
		return nil
	}
	return &hintError{fmt.Sprintf("a gear of %s has impossible teeth", g), gearHint}
}
