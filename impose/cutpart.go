package impose

import (
	"quoin/geometry"
	"quoin/geometry/outline"
)

// CutPart is the outline of the upright label as closed polygons, its box at the
// origin, across and around in mm. Their sides stray from it by at most
// outline.Flatness, a micrometre.
type CutPart struct {
	RingsMM [][][2]float64 `json:"rings_mm"`
}

// cutPart gives nil for rectangles, round corners or not: their boxes say all
// that keeps them apart.
func (im *Imposition) cutPart() *CutPart {
	if _, rectangle := im.upright.CornerRadius(sizeTolerance); im.cuts != nil || im.upright.Empty() || rectangle && !im.Layout.Shaped {
		return nil
	}
	part := &CutPart{}
	for _, ring := range im.upright.At(geometry.Position{}).Flatten(outline.Flatness) {
		corners := make([][2]float64, len(ring))
		for i, p := range ring {
			corners[i] = [2]float64{p.Across.MM(), p.Around.MM()}
		}
		part.RingsMM = append(part.RingsMM, corners)
	}
	return part
}
