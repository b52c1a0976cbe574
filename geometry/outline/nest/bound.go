package nest

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// bound gives the labels to the metre that no layout can exceed, and by what
// reasoning: grown by half the gap, labels don't overlap, and all lie in the band
// grown by as much. Convex ones don't fill it: each takes a hexagon.
func (p *planner) bound() (float64, string, error) {
	half := min(p.r.Gap.Across, p.r.Gap.Around) / 2
	least, tolerance := half, outline.Flatness
	if half > 0 && intricate(p.shape) {
		// A line that runs within the label and its gaps bounds as well, only less
		// sharply. What is coarse strays to either side by up to three tolerances.
		tolerance = roughly
		least = max(half-3*tolerance, 0)
	}
	grown, err := p.shape.OutsetWithin(least, tolerance)
	if err != nil {
		return 0, "", err
	}
	area, by := 0.0, "the area of the labels with their gaps"
	for _, part := range grown.Parts() {
		solid, err := outline.New(part.Contours()[0]) // without its holes
		if err != nil {
			return 0, "", err
		}
		area += solid.Area()
	}
	if corners, convex := convexCorners(grown); convex {
		if hexagon := leastHexagon(corners); hexagon > area*(1+hexagonMargin) {
			area, by = hexagon, "the least hexagon around a label with its gaps"
		}
	}
	return (p.room() + 2*half).MM() * geometry.Metre.MM() / area, by, nil
}

// roughly is the tolerance to which an intricate label is grown for its bound.
const roughly = 20 * geometry.Micrometre

// intricate reports whether the outline has more corners than are quickly grown.
func intricate(o outline.Outline) bool {
	n := 0
	for _, r := range ringsOf(o, coarse) {
		n += len(thinned(r, float64(coarse)))
	}
	return n > 4*mostCorners
}

// convexCorners gives the corners of the flattened outline in mm, and whether it
// is one convex piece.
func convexCorners(o outline.Outline) (corners []vec, convex bool) {
	rings := o.Flatten(outline.Flatness)
	if len(rings) != 1 {
		return nil, false
	}
	for _, p := range rings[0] {
		corners = append(corners, vec{p.Across.MM(), p.Around.MM()})
	}
	// The rounding of corners to a nanometre bends a straight line a little.
	const straight = 1e-4
	for i, p := range corners {
		e := corners[(i+1)%len(corners)].minus(p)
		f := corners[(i+2)%len(corners)].minus(corners[(i+1)%len(corners)])
		if e.cross(f) < -straight*math.Hypot(e.x, e.y)*math.Hypot(f.x, f.y) {
			return nil, false
		}
	}
	return corners, true
}

// How finely the least hexagon is looked for: by directions of its sides all
// around, with those of the label's own longest sides, which the best one often
// shares. Between two directions the area changes with the square of what the
// best side is off by, (2 pi / 120 / 2)^2 = 7e-4, and the margin gives back more.
const (
	directions    = 120
	ownSides      = 24
	hexagonMargin = 2e-3
)

// leastHexagon gives the area in mm2 of the least polygon of up to six sides
// around convex corners, less the margin. However congruent convex shapes are
// packed into a rectangle, no more go in than such hexagons would fill (L. Fejes
// Toth, Some packing and covering theorems, 1950; from memory).
func leastHexagon(corners []vec) float64 {
	angles := make([]float64, 0, directions+ownSides)
	for i := range directions {
		angles = append(angles, 2*math.Pi*float64(i)/directions)
	}
	sides := sides(corners)
	slices.SortFunc(sides, func(a, b vec) int { return cmp.Compare(math.Hypot(b.x, b.y), math.Hypot(a.x, a.y)) })
	for _, s := range sides[:min(len(sides), ownSides)] {
		angle := math.Atan2(-s.x, s.y) // out of the shape, which lies to the positive side
		if angle < 0 {
			angle += 2 * math.Pi
		}
		angles = append(angles, angle)
	}
	slices.Sort(angles)
	n := len(angles)
	reach := make([]float64, n) // from the origin to the side of a direction
	for i, a := range angles {
		sin, cos := math.Sincos(a)
		reach[i] = math.Inf(-1)
		for _, c := range corners {
			reach[i] = max(reach[i], c.x*cos+c.y*sin)
		}
	}
	// piece is what two sides that follow each other add to the area.
	piece := make([]float64, n*n)
	for i := range n {
		for j := range n {
			turn := math.Mod(angles[j]-angles[i]+2*math.Pi, 2*math.Pi)
			piece[i*n+j] = math.Inf(1)
			if turn > 1e-6 && turn < math.Pi-1e-6 {
				sin, cos := math.Sincos(turn)
				piece[i*n+j] = (2*reach[i]*reach[j] - (reach[i]*reach[i]+reach[j]*reach[j])*cos) / (2 * sin)
			}
		}
	}
	return shortestRound(piece, n, 6) * (1 - hexagonMargin)
}

// shortestRound gives the cheapest way once around n places in at most so many
// steps; cost holds that of a step from i to j, which goes on around.
func shortestRound(cost []float64, n, steps int) float64 {
	best := math.Inf(1)
	now, next := make([]float64, n+1), make([]float64, n+1) // by places from the start; n is the start again
	for start := range n {
		for i := range now {
			now[i] = math.Inf(1)
		}
		now[0] = 0
		for range steps {
			for j := range next {
				next[j] = now[j]
				for i := range j {
					if !math.IsInf(now[i], 1) {
						next[j] = min(next[j], now[i]+cost[(start+i)%n*n+(start+j)%n])
					}
				}
			}
			now, next = next, now
		}
		best = min(best, now[n])
	}
	return best
}
