package outline

import "quoin/geometry"

// Swept returns the outer contours swept across and around at once by up to the
// size to both sides: every place that the shape covers while it moves straight
// between both ends. One of the two lengths must be 0. Holes are filled. The
// result has straight sides and strays by at most Flatness where the outline is
// curved; for a polygon it is exact.
func (o Outline) Swept(by geometry.Size) Outline {
	if by == (geometry.Size{}) || by.Across != 0 && by.Around != 0 || o.Empty() {
		return o
	}
	across, around := int64(by.Across), int64(by.Around)
	var raw [][]pt
	for _, c := range o.contours {
		if c.signedArea() < 0 {
			continue
		}
		ring := c.ring(float64(Flatness))
		out := make([]pt, 0, 2*len(ring))
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			// The shape lies to the positive side, so its outside is towards smaller y
			// of a side that runs to larger x, and towards larger x of one that climbs.
			// Between sides that go opposite ways a straight line joins the raw ones.
			move := pt{sign(q.y-p.y) * across, -sign(q.x-p.x) * around}
			if move == (pt{}) {
				continue
			}
			out = append(out, pt{p.x + move.x, p.y + move.y}, pt{q.x + move.x, q.y + move.y})
		}
		raw = append(raw, tidy(out))
	}
	return ofRings(covered(raw))
}

func sign(v int64) int64 {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}
