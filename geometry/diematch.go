package geometry

import (
	"fmt"
	"slices"
	"strings"
)

// closest gives the turn at which the label comes closest to what the die cuts,
// an allowed one before others, and how far off the worse side is: 0 within the
// tolerance, otherShape when no size would do.
func (w *Wish) closest(d *Die) (Turn, Length) {
	shape, outlined := d.Shape.named(), w.outlined(d)
	if outlined {
		shape = ShapeOutline
	} else if shape != w.Shape.named() || shape == ShapeOutline && w.Outline != "" && d.Outline != w.Outline {
		return Turn0, otherShape
	}
	best, least, bestAllowed := Turn0, otherShape, false
	try := func(t Turn) {
		if !outlined && !shape.offers(t) {
			return
		}
		s, allowed := w.Label.Turned(t), w.allows(t)
		a, b := s.Across-d.Size.Across, s.Around-d.Size.Around
		off := max(a, -a, b, -b)
		if outlined {
			off, _ = w.matched(d, t, off)
		}
		if off <= DieTolerance {
			off = 0 // all within the tolerance are equal, so that what is allowed wins
		}
		if off < least || off == least && allowed && !bestAllowed {
			best, least, bestAllowed = t, off, allowed
		}
	}
	for _, t := range w.turns() {
		try(t)
	}
	for t := Turn0; t <= Turn270; t++ {
		try(t)
	}
	return best, least
}

// unmatched lists why the die, with the label at the turn, is not the job's.
// near reports whether a small change of size or radius, or another turn, is all
// that it takes.
func (w *Wish) unmatched(d *Die, turn Turn, off Length) (reasons []Reason, near bool) {
	if off == otherShape {
		return []Reason{{CodeShape, fmt.Sprintf("the die is %s, the label is %s",
			shapeName(d.Shape, d.Outline), shapeName(w.Shape, w.Outline)), ""}}, false
	}
	near = off <= w.Near
	size := w.Label.Turned(turn)
	across, around := size.Across-d.Size.Across, size.Around-d.Size.Around
	if box := max(across, -across, around, -around); w.outlined(d) && off > 0 && box <= DieTolerance {
		_, m := w.matched(d, turn, box)
		reasons = append(reasons, m.differs(d))
	} else if off > 0 {
		reasons = append(reasons, Reason{CodeSize, fmt.Sprintf("the die cuts %s, the label is %s", d.Size, size),
			fmt.Sprintf("a label of %s would use it", d.Size.Turned(turn))})
	}
	if !w.allows(turn) {
		reasons = append(reasons, Reason{CodeTurn, fmt.Sprintf("the die takes the label only turned to %s degrees, which the winding does not allow", turn),
			fmt.Sprintf("a winding that allows a turn of %s degrees would use it", turn)})
	}
	if w.Radius == AnyRadius || w.outlined(d) || d.Shape.named() != ShapeRectangle {
		return reasons, near
	}
	if corner := max(d.Radius-w.Radius, w.Radius-d.Radius); corner > DieTolerance {
		reasons = append(reasons, Reason{CodeRadius, fmt.Sprintf("the die's corners have a radius of %s, the label's %s", d.Radius, w.Radius),
			fmt.Sprintf("a corner radius of %s would use it", d.Radius)})
		near = near && corner <= w.Near
	}
	return reasons, near
}

func shapeName(s Shape, outline string) string {
	if s == ShapeOutline && outline != "" {
		return fmt.Sprintf("the outline %q", outline)
	}
	return "of shape " + string(s.named())
}

// suits lists what speaks against the die, and what to be warned of, whatever
// the web.
func (w *Wish) suits(d *Die) (reasons, warnings []Reason) {
	switch d.Condition {
	case DieRetired:
		reasons = append(reasons, Reason{CodeCondition, "the die is retired", ""})
	case DieSharpen:
		reasons = append(reasons, Reason{CodeCondition, "the die is to be sharpened", ""})
	case DieWorn:
		warnings = append(warnings, Reason{CodeCondition, "the die is worn", ""})
	}
	if w.Material != "" && len(d.Materials) > 0 && !slices.ContainsFunc(d.Materials, func(m string) bool { return strings.EqualFold(m, w.Material) }) {
		reasons = append(reasons, Reason{CodeMaterial, fmt.Sprintf("the die is made for %s, the material is %s", strings.Join(d.Materials, ", "), w.Material), ""})
	}
	reasons = append(reasons, stationReasons(w.Stations, d)...)
	gap := d.gaps(w.Gap)
	if d.Lanes != 1 {
		bad, mind := w.Stripping.judge(CodeGapAcross, "across", gap.Across, d.square())
		reasons, warnings = append(reasons, bad...), append(warnings, mind...)
	}
	bad, mind := w.Stripping.judge(CodeGapAround, "around", gap.Around, d.square())
	return append(reasons, bad...), append(warnings, mind...)
}
