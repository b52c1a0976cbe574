package geometry

import (
	"fmt"
	"math"
)

// Roll is web wound on a core.
//
// The wound area is the same as that of the web seen from its edge, so
// pi (D^2 - d^2) / 4 = length x caliper; the average-lap rule (turns times the
// circumference halfway) is the same number. Sources: ehow.co.uk how_6788638
// (average lap), yourcalculatorhome.com/roll-length-calculator (area).
type Roll struct {
	Core    Length // OUTER diameter of the core: the bore and twice the wall
	Caliper Length // thickness of what is wound: liner and face, after stripping
}

// Check refuses a roll that can't be wound.
func (r Roll) Check() error {
	switch {
	case r.Core <= 0 || r.Core > LongestExtent:
		return &hintError{fmt.Sprintf("a core of %s is impossible", r.Core), "give its outer diameter: bore and twice the wall"}
	case r.Caliper <= 0 || r.Caliper > LongestExtent:
		return &hintError{fmt.Sprintf("a caliper of %s is impossible", r.Caliper), "give the thickness of liner and face together, as in 150um"}
	}
	return nil
}

// Length returns the web on a roll of so large an outside diameter, to the
// nearest nanometre; 0 when the diameter isn't beyond the core.
func (r Roll) Length(diameter Length) Length {
	if diameter <= r.Core {
		return 0
	}
	d, c := float64(diameter), float64(r.Core)
	return roundFloat(math.Pi / 4 * (d - c) * (d + c) / float64(r.Caliper))
}

// Diameter returns the outside diameter of a roll of so much web, to the nearest
// nanometre.
func (r Roll) Diameter(web Length) Length {
	c := float64(r.Core)
	return roundFloat(math.Sqrt(c*c + 4/math.Pi*float64(web)*float64(r.Caliper)))
}

// RollRule says how long the customer's rolls are: by count, by largest
// outside diameter, or by count as far as the diameter allows.
type RollRule struct {
	Roll
	Labels  int64  // on each roll; 0 means as many as Largest takes
	Largest Length // outside diameter; 0 means no limit
	Splices int    // most in one roll; 0 means none
}

// LabelsPerRoll returns the labels on one roll when each takes so much web around
// (label and gap). Without a largest diameter the roll's own figures may be
// missing. Where a count doesn't fit under the diameter the error's hint says
// what does.
func (r RollRule) LabelsPerRoll(pitch Length) (int64, error) {
	if pitch <= 0 {
		return 0, &hintError{fmt.Sprintf("labels %s apart fill no roll", pitch), "the pitch around is more than 0"}
	}
	if r.Labels < 0 || r.Largest < 0 || r.Splices < 0 || r.Labels == 0 && r.Largest == 0 {
		return 0, &hintError{"the rolls have no size", "give the labels on a roll, the largest outside diameter, or both"}
	}
	if r.Labels > int64(longest/pitch) {
		return 0, &hintError{fmt.Sprintf("%s labels are longer than any roll", grouped(r.Labels)), "give fewer labels on a roll"}
	}
	if r.Largest == 0 {
		return r.Labels, nil
	}
	if err := r.Check(); err != nil {
		return 0, err
	}
	fits := LabelsIn(r.Length(r.Largest), pitch)
	if needed := max(r.Labels, 1); fits < needed {
		return 0, &hintError{
			fmt.Sprintf("%s labels %s apart make a roll of %s, the largest is %s", grouped(needed), pitch, r.Diameter(Length(needed)*pitch), r.Largest),
			fmt.Sprintf("%s labels would fit", grouped(fits))}
	}
	if r.Labels > 0 {
		return r.Labels, nil
	}
	return fits, nil
}

// LabelsIn returns the whole labels in a length of web, floor(web / pitch). A
// page that divides the wound area by the pitch instead of the caliper is
// wrong; so is a count that forgets the gap. Source: calculator.academy,
// labels per roll.
func LabelsIn(web, pitch Length) int64 {
	if pitch <= 0 {
		return 0
	}
	return int64(web / pitch)
}
