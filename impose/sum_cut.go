package impose

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/summary"
)

// sumCut returns nil for rectangles, round corners or not: their boxes say all
// that keeps them apart.
func sumCut(p *Planned) *summary.Cut {
	if p.Layout.Widths != nil {
		return nil // of rectangles only
	}
	cut := p.cuts[0]
	if _, rectangle := cut.CornerRadius(sizeTolerance); rectangle && !p.Layout.Shaped {
		return nil
	}
	part := &summary.Cut{}
	for _, ring := range cut.At(geometry.Position{}).Flatten(outline.Flatness) {
		corners := make([][2]float64, len(ring))
		for i, p := range ring {
			corners[i] = [2]float64{p.Across.MM(), p.Around.MM()}
		}
		part.RingsMM = append(part.RingsMM, corners)
	}
	return part
}
