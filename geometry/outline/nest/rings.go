package nest

import (
	"math"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// coarse is how well outlines are flattened for the search; what it finds is
// settled on the true outlines after.
const coarse = 5 * geometry.Micrometre

// mostCorners bounds the corners that the search looks at of each contour: the
// sides of the convolution are as many as two contours' corners multiplied. Of
// outlines that are more intricate it sees the large lines only, and what it
// finds is settled on the true ones all the same.
const mostCorners = 160

// sight is how the search sees an outline.
type sight uint8

const (
	thinly sight = iota // its corners thinned
	filled              // narrow hollows filled, then thinned
	wholly              // as outline.New looked at it
)

// polygons gives the outer contours as rings for the search, and whether filling
// shows more of them than thinning does.
func polygons(o outline.Outline, as sight) (out [][]vec, fine bool) {
	tolerance := coarse
	if as == wholly {
		tolerance = outline.Flatness
	}
	for _, r := range ringsOf(o, tolerance) {
		if area(r) <= 0 {
			continue
		}
		if as != wholly {
			var far geometry.Length
			r, far = simplified(r, as == filled)
			fine = fine || far > blunt
		}
		if len(r) >= 3 && area(r) > 0 {
			out = append(out, r)
		}
	}
	return out, fine
}

// blunt is how far corners that are dropped may lie off before the drawing counts
// as one of fine teeth or waves. Which of their tips and roots are dropped is a
// matter of chance, and what is left is anything.
const blunt = 8 * coarse

// mouth is how wide what is filled may be, in tolerances to both sides.
const mouth = 2

// simplified gives a positive ring with at most mostCorners, as near to it as
// that can be, and how far off corners may be that were dropped.
func simplified(whole []vec, fill bool) ([]vec, geometry.Length) {
	for far := coarse; ; far *= 2 {
		if r := thinned(whole, float64(far)); len(r) <= mostCorners {
			return r, far
		}
		if !fill || far <= blunt {
			continue
		}
		solid := closed(whole, mouth*far, far/4)
		for near := coarse; near <= far && len(solid) > 0; near *= 2 {
			if r := thinned(solid, float64(near)); len(r) <= mostCorners {
				return r, far
			}
		}
	}
}

// closed gives a positive ring with hollows and slits that are narrower than
// twice the radius filled, to the tolerance: grown and shrunk again. It is empty
// where that can't be done.
func closed(ring []vec, radius, tolerance geometry.Length) []vec {
	grown, err := outlineOf(thinned(ring, float64(tolerance)))
	if err == nil {
		grown, err = grown.OutsetWithin(radius, tolerance)
	}
	if err != nil {
		return nil
	}
	shrunk, err := outlineOf(thinned(largest(grown), float64(tolerance)))
	if err == nil {
		shrunk, err = shrunk.OutsetWithin(-radius, tolerance)
	}
	if err != nil {
		return nil
	}
	return largest(shrunk)
}

// largest gives the ring with the largest area.
func largest(o outline.Outline) (best []vec) {
	for _, r := range ringsOf(o, outline.Flatness) {
		if best == nil || area(r) > area(best) {
			best = r
		}
	}
	return best
}

// ringsOf flattens an outline.
func ringsOf(o outline.Outline, tolerance geometry.Length) [][]vec {
	var out [][]vec
	for _, ring := range o.Flatten(tolerance) {
		r := make([]vec, len(ring))
		for i, p := range ring {
			r[i] = vec{float64(p.Across), float64(p.Around)}
		}
		out = append(out, r)
	}
	return out
}

// outlineOf makes an outline of rings.
func outlineOf(rings ...[]vec) (outline.Outline, error) {
	contours := make([]outline.Contour, len(rings))
	for i, r := range rings {
		corners := make([]geometry.Position, len(r))
		for k, v := range r {
			corners[k] = geometry.Position{Across: geometry.Length(v.x), Around: geometry.Length(v.y)}
		}
		contours[i] = outline.Polygon(corners[0], corners[1:]...)
	}
	return outline.New(contours...)
}

func area(ring []vec) float64 {
	sum := 0.0
	for i, p := range ring {
		sum += p.minus(ring[0]).cross(ring[(i+1)%len(ring)].minus(ring[0]))
	}
	return sum / 2
}

// thinned drops corners that lie within the tolerance of the line without them
// (D. Douglas, T. Peucker, Algorithms for the reduction of the number of points,
// 1973): drawings that come as short lines have thousands.
func thinned(ring []vec, tolerance float64) []vec {
	if len(ring) < 8 {
		return ring
	}
	half := len(ring) / 2
	out := thin(ring[:half+1], tolerance, nil)
	return thin(append(slices.Clone(ring[half:]), ring[0]), tolerance, out)
}

// thin adds the corners to keep of an open line, its last not included.
func thin(line []vec, tolerance float64, out []vec) []vec {
	a, d := line[0], line[len(line)-1].minus(line[0])
	n := math.Hypot(d.x, d.y)
	worst, where := tolerance, 0
	for i := 1; i < len(line)-1; i++ {
		w := line[i].minus(a)
		off := math.Hypot(w.x, w.y)
		if n > 0 {
			off = math.Abs(d.cross(w)) / n
		}
		if off > worst {
			worst, where = off, i
		}
	}
	if where == 0 {
		return append(out, a)
	}
	return thin(line[where:], tolerance, thin(line[:where+1], tolerance, out))
}
