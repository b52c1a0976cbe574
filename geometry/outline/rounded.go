package outline

import (
	"math"

	"quoin/geometry"
)

// CornerRadius returns the radius of the corners of an outline that is a rectangle
// with equal corners, 0 for sharp ones, to a hundredth of a millimetre; false for any other
// shape. No point of the outline may be farther than the tolerance from the
// rectangle with that radius. A circle is a rectangle that is all corners.
func (o Outline) CornerRadius(tolerance geometry.Length) (geometry.Length, bool) {
	if len(o.contours) != 1 {
		return 0, false
	}
	w, h := float64(o.bounds.Size().Across), float64(o.bounds.Size().Around)
	missing := w*h - o.Area()*squareMillimetre // four corners, (4 - pi) r^2
	r := min(math.Sqrt(max(missing, 0)/(4-math.Pi)), min(w, h)/2)
	middle := at(o.bounds.Min).mix(at(o.bounds.Max), 0.5)
	for _, p := range o.contours[0].prims() {
		for i := range samples {
			v := p.point(float64(i) / samples).minus(middle)
			if math.Abs(fromRounded(v, w/2, h/2, r)) > float64(tolerance) {
				return 0, false
			}
		}
	}
	// Curves stand for arcs to a few hundredths of a percent, and the sides of
	// sharp corners are rounded.
	switch half := min(w, h) / 2; {
	case r < float64(tolerance):
		return 0, true
	case half-r < float64(tolerance):
		return geometry.Length(half), true
	}
	const step = 10 * geometry.Micrometre
	return geometry.Length(math.Round(r/float64(step))) * step, true
}

const samples = 16 // points looked at along each segment

// fromRounded gives the distance of v from a rectangle around the origin with
// half sides a and b and corners of radius r; negative inside.
func fromRounded(v vec, a, b, r float64) float64 {
	x, y := math.Abs(v.x)-(a-r), math.Abs(v.y)-(b-r)
	return math.Hypot(max(x, 0), max(y, 0)) + min(max(x, y), 0) - r
}
