package nest

import (
	"cmp"
	"slices"
)

func corners(rings [][]vec) (n int) {
	for _, r := range rings {
		n += len(r)
	}
	return n
}

// hull gives the convex line around all rings, positive (A. Andrew, Another
// efficient algorithm for convex hulls in two dimensions, 1979). Its sides never
// cross, whatever those of the rings do once they are thinned.
func hull(rings [][]vec) []vec {
	points := slices.Concat(rings...)
	slices.SortFunc(points, func(a, b vec) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) })
	half := func(points []vec) []vec {
		var out []vec
		for _, p := range points {
			for len(out) > 1 && out[len(out)-1].minus(out[len(out)-2]).cross(p.minus(out[len(out)-1])) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		return out[:len(out)-1]
	}
	lower := half(points)
	slices.Reverse(points)
	return append(lower, half(points)...)
}
