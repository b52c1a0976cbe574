package geometry

import "fmt"

// CutMatch says how far the line that a die cuts lies from the label's, middle
// on middle.
type CutMatch struct {
	Off Length   // the largest distance of the two lines
	At  Position // where that is on the upright label, from the leading left corner of its box
}

// Matcher compares a die's cut with the label turned by t; ok is false where the
// die's drawing can't be read.
type Matcher func(d *Die, t Turn) (m CutMatch, ok bool)

// outlined reports whether the die's line, or the label's, is in a drawing, so
// that their shapes' names don't tell whether they are the same.
func (w *Wish) outlined(d *Die) bool {
	return w.Match != nil && (d.Shape.named() == ShapeOutline || w.Shape.named() == ShapeOutline)
}

// matched gives how far the die's line is from the label's at the turn, where
// the boxes are off by no more than the size given. A drawing that can't be read
// matches by its name only.
func (w *Wish) matched(d *Die, t Turn, box Length) (Length, CutMatch) {
	if box > max(w.Near, DieTolerance) {
		return box, CutMatch{}
	}
	m, ok := w.Match(d, t)
	if !ok {
		if w.Outline == "" || w.Outline != d.Outline {
			return otherShape, CutMatch{}
		}
		return box, CutMatch{}
	}
	return max(box, m.Off), m
}

// differs says where the die's line is not the label's.
func (m CutMatch) differs(d *Die) Reason {
	return Reason{CodeOutline, fmt.Sprintf("the die's outline differs from the label's by %s, %s across and %s around from the label's leading left corner",
		coarse(m.Off), coarse(m.At.Across), coarse(m.At.Around)), fmt.Sprintf("a label of the outline of die %s would use it", d.Number)}
}

// coarse rounds a length to a hundredth of a millimetre, for people.
func coarse(l Length) Length {
	const step = 10 * Micrometre
	if l < 0 {
		return -coarse(-l)
	}
	return (l + step/2) / step * step
}
