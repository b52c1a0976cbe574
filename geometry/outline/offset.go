package outline

import (
	"fmt"
	"math"

	"quoin/geometry"
)

// Outset returns the outline grown by the distance on all sides, holes shrunk by
// it: every place within the distance of the shape. It serves bleed, and the
// clip along it. Corners become round. A negative distance is an inset.
//
// Convex shapes of lines and arcs (rectangles with round corners, circles) stay
// such and are exact to a nanometre. Others are flattened first; their result
// has straight sides and strays from the true one by at most three times
// Flatness. An inset may leave several pieces, or nothing: then the outline is
// empty.
func (o Outline) Outset(d geometry.Length) (Outline, error) { return o.OutsetWithin(d, Flatness) }

// OutsetWithin is Outset with another tolerance in Flatness's place: for an
// outline of thousands of corners a coarse one takes a hundredth of the time.
func (o Outline) OutsetWithin(d, tolerance geometry.Length) (Outline, error) {
	if d == 0 || o.Empty() {
		return o, nil
	}
	if max(d, -d) > Reach {
		return Outline{}, fmt.Errorf("an offset of %s is out of reach; up to %s is possible", d, Reach)
	}
	if len(o.contours) == 1 {
		if c, ok := o.contours[0].parallel(float64(d)); ok {
			return must(c), nil
		}
	}
	tolerance = max(tolerance, geometry.Nanometre)
	return ofRings(offset(o.rings(tolerance), float64(d), float64(tolerance))), nil
}

// ofRings makes an outline of rings as covered gives them.
func ofRings(rings [][]pt) Outline {
	contours := make([]Contour, len(rings))
	for i, ring := range rings {
		corners := make([]geometry.Position, len(ring))
		for k, q := range ring {
			corners[k] = geometry.Position{Across: geometry.Length(q.x), Around: geometry.Length(q.y)}
		}
		contours[i] = Polygon(corners[0], corners[1:]...)
	}
	return must(contours...)
}

// offset grows (or shrinks, d < 0) the shape that the rings enclose.
//
// Each ring is offset as the simple polygon that it is. A grown polygon is what
// its raw offset line runs around at least once: for a polygon without holes
// the count is the number of pieces that the disc around a place cuts out of
// it. A shrunk one is what the raw line still runs around once; the complement
// is then the polygon that grows. Holes take the opposite distance and the
// opposite sign, and the sum of all counts decides.
func offset(rings [][]pt, d, tolerance float64) [][]pt {
	var all [][]pt
	for _, ring := range rings {
		hole := ringArea(ring) < 0
		distance := d
		if hole {
			ring, distance = flipped(ring), -d
		}
		if distance < 0 && -2*distance >= narrowest(ring) {
			continue // nothing is so deep inside
		}
		if distance > 0 {
			ring = bridged(ring, math.Sqrt(8*distance*tolerance))
		}
		raw := covered([][]pt{rawOffset(ring, distance, tolerance)})
		if distance < 0 {
			raw = deepEnough(raw, ring, -distance, tolerance)
		}
		for _, r := range raw {
			if hole {
				r = flipped(r)
			}
			all = append(all, r)
		}
	}
	return withoutSlivers(covered(all), tolerance)
}

// narrowest gives the shorter side of the ring's box.
func narrowest(ring []pt) float64 {
	b := boxOfRing(ring)
	return float64(min(b.hi.x-b.lo.x, b.hi.y-b.lo.y))
}

// farthestBridge is how many corners a bridge may leave out at once: those of a
// slot and of its bottom. What is rounder is bridged step by step.
const farthestBridge = 4

// bridged leaves out what lies behind mouths no wider than the width, of a ring
// that will grow: of a place before a mouth, one of its two ends is no farther
// than the mouth itself but for width^2/8d. The raw lines of a thousand narrow
// slits would cross each other a hundred thousand times. A line from elsewhere
// that stands in a mouth is crossed by the bridge, which covered makes good.
func bridged(ring []pt, width float64) []pt {
	out := make([]pt, 0, len(ring))
	for i := 0; i < len(ring); {
		out = append(out, ring[i])
		next := i + 1
		for j := min(i+1+farthestBridge, len(ring)-1); j > i+1; j-- {
			if bridges(ring[i:j+1], width) {
				next = j
				break
			}
		}
		i = next
	}
	if len(out) < 3 {
		return ring
	}
	return out
}

// bridges reports whether all corners between the ends of a line lie on the
// covered side of the straight one, which is no longer than the width.
func bridges(line []pt, width float64) bool {
	a, c := line[0], line[len(line)-1]
	if a == c || c.vec().minus(a.vec()).len() > width {
		return false
	}
	for _, b := range line[1 : len(line)-1] {
		if orient(a, c, b) <= 0 {
			return false
		}
	}
	return true
}

// bluntest is how many tolerances a mitre in a hollow may reach beyond the
// distance. A hollow of a radius r that was flattened to the tolerance needs
// d/r of them; without the mitres every corner would send two lines across all
// others, and small hollows have few corners.
const bluntest = 8

// rawOffset gives the line at the distance to the right of a positive ring (to
// its left, d < 0), corner by corner, with all its loops.
func rawOffset(ring []pt, d, tolerance float64) []pt {
	n := len(ring)
	out := make([]pt, 0, 2*n)
	radius := math.Abs(d)
	step := arcStep(radius, tolerance)
	for i, p := range ring {
		e := p.vec().minus(ring[(i+n-1)%n].vec()).unit()
		f := ring[(i+1)%n].vec().minus(p.vec()).unit()
		// The outside of a positive ring is to the right of its travel.
		from, to := e.left().times(-d), f.left().times(-d)
		turn := math.Atan2(e.cross(f), e.dot(f))
		at := func(v vec) pt { return p.vec().plus(v).round() }
		hollow := turn*d < 0 // the raw lines overlap here
		switch mitre := from.plus(to).times(1 / (1 + e.dot(f))); {
		case hollow && mitre.len() <= radius+bluntest*tolerance, math.Abs(turn) <= step:
			// On the outside a mitre so blunt strays no more than the chord over the
			// same angle. On the inside it only cuts off a loop that counts against
			// the shape: what it lets in lies within the distance of the corner, but
			// for the tip between mitre and arc.
			out = append(out, at(mitre))
		case hollow: // run through the corner
			out = append(out, at(from), p, at(to))
		default:
			pieces := clampPieces(math.Abs(turn) / step)
			start := from.angle()
			out = append(out, at(from))
			for k := 1; k < pieces; k++ {
				sin, cos := math.Sincos(start + turn*float64(k)/float64(pieces))
				out = append(out, at(vec{radius * cos, radius * sin}))
			}
			out = append(out, at(to))
		}
	}
	return tidy(out)
}

// deepEnough keeps the rings of a shrunk polygon that lie at the distance from
// it. The count of loops also accepts places whose disc holds the whole
// polygon, and those are too near.
func deepEnough(rings [][]pt, polygon []pt, distance, tolerance float64) [][]pt {
	var kept [][]pt
	for _, ring := range rings {
		deepest := 0.0
		for i, p := range ring {
			if i%(len(ring)/8+1) == 0 {
				deepest = max(deepest, ringDistance(p.vec(), polygon))
			}
		}
		if deepest >= distance-2*tolerance {
			kept = append(kept, ring)
		}
	}
	return kept
}

func ringDistance(v vec, ring []pt) float64 {
	least := math.Inf(1)
	for i, p := range ring {
		least = min(least, pointToLine(v, p.vec(), ring[(i+1)%len(ring)].vec()))
	}
	return least
}

// withoutSlivers drops rings that are nowhere thicker than the tolerance: what
// the rounding of corners leaves where two sides run together.
func withoutSlivers(rings [][]pt, tolerance float64) [][]pt {
	var kept [][]pt
	for _, ring := range rings {
		length := 0.0
		for i, p := range ring {
			length += ring[(i+1)%len(ring)].vec().minus(p.vec()).len()
		}
		if math.Abs(ringArea(ring)) > length*tolerance/2 {
			kept = append(kept, ring)
		}
	}
	return kept
}

func ringArea(ring []pt) float64 {
	sum, origin := 0.0, ring[0].vec()
	for i, p := range ring {
		sum += p.vec().minus(origin).cross(ring[(i+1)%len(ring)].vec().minus(origin))
	}
	return sum / 2
}

func flipped(ring []pt) []pt {
	out := make([]pt, len(ring))
	for i, p := range ring {
		out[len(ring)-1-i] = p
	}
	return out
}
