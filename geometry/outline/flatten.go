package outline

import (
	"math"

	"quoin/geometry"
)

// Flatness is how far the chords of a flattened outline may stray from it.
// Dies and layouts agree within 0.05 mm (common practice, no source) and a dot
// at 1200 dpi is 0.021 mm wide; a micrometre is a twentieth of the finer.
const Flatness = geometry.Micrometre

// Flatten returns each contour as a ring of corners joined by straight lines, the
// first not repeated. All corners lie on the outline, to the nearest
// nanometre; the lines stray from it by at most the tolerance, plus a
// nanometre for the rounding of the corners.
func (o Outline) Flatten(tolerance geometry.Length) [][]geometry.Position {
	rings := o.rings(tolerance)
	out := make([][]geometry.Position, len(rings))
	for i, ring := range rings {
		out[i] = make([]geometry.Position, len(ring))
		for j, p := range ring {
			out[i][j] = geometry.Position{Across: geometry.Length(p.x), Around: geometry.Length(p.y)}
		}
	}
	return out
}

// Flatten returns the corners that stand for a segment from a place, that place
// left out and the segment's end included.
func (s Segment) Flatten(from geometry.Position, tolerance geometry.Length) []geometry.Position {
	p := s.prim(at(from))
	n := p.pieces(float64(max(tolerance, geometry.Nanometre)))
	out := make([]geometry.Position, n)
	for i := range out {
		out[i] = nearest(p.point(float64(i+1) / float64(n)))
	}
	out[n-1] = s.To
	return out
}

// pt is a corner of a ring in whole nanometres.
type pt struct{ x, y int64 }

func (p pt) vec() vec { return vec{float64(p.x), float64(p.y)} }

func (v vec) round() pt { return pt{int64(math.Round(v.x)), int64(math.Round(v.y))} }

func (o Outline) rings(tolerance geometry.Length) [][]pt {
	out := make([][]pt, len(o.contours))
	for i, c := range o.contours {
		out[i] = c.ring(float64(max(tolerance, geometry.Nanometre)))
	}
	return out
}

func (c Contour) ring(tolerance float64) []pt {
	ring := make([]pt, 0, len(c.Segments))
	for _, p := range c.prims() {
		ring = append(ring, p.a.round())
		n := p.pieces(tolerance)
		for i := 1; i < n; i++ {
			ring = append(ring, p.point(float64(i)/float64(n)).round())
		}
	}
	return tidy(ring)
}

// tidy drops corners that repeat the one before.
func tidy(ring []pt) []pt {
	out := ring[:0]
	for i, p := range ring {
		if p != ring[(i+len(ring)-1)%len(ring)] || len(ring) == 1 {
			out = append(out, p)
		}
	}
	return out
}

// mostPieces bounds the pieces of one segment; an arc of Reach's radius at the
// finest tolerance stays under it.
const mostPieces = 1 << 20

// pieces gives into how many equal parts a segment is cut so that the chords
// stray by at most the tolerance.
func (p *prim) pieces(tolerance float64) int {
	switch p.kind {
	case arc:
		// The sagitta of a chord over the angle v is r (1 - cos v/2).
		return clampPieces(math.Abs(p.sweep) / arcStep(p.r, tolerance))
	case cubic:
		// n parts shrink the bound on the sagitta by n squared.
		return clampPieces(math.Sqrt(p.sagitta() / tolerance))
	}
	return 1
}

func clampPieces(n float64) int { return int(min(max(math.Ceil(n-1e-9), 1), mostPieces)) }

// arcStep gives the largest angle whose chord strays by at most the tolerance.
// Never more than a third of a turn: a ring needs three corners.
func arcStep(r, tolerance float64) float64 {
	return min(2*math.Acos(max(1-tolerance/r, -1)), 2*math.Pi/3)
}
