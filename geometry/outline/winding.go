package outline

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// covered gives the boundary of all places that closed rings run around more
// often in the positive sense than in the other, as simple rings: outer ones
// positive, holes negative. It is the union that offsets are cut out of.
//
// It splits all sides where they meet, rounds those places to whole
// nanometres, and then decides by exact counting which sides part the covered
// from the rest; so no crossing can be missed by rounding, and what a rounding
// moves, it moves by a nanometre.
func covered(rings [][]pt) [][]pt {
	edges := merge(split(sidesOf(rings)))
	keepBoundary(&edges)
	return link(edges)
}

// mostRounds bounds the passes of split. Rounding a crossing moves two sides by
// less than a nanometre, which rarely makes a new crossing and hardly ever a
// third time.
const mostRounds = 12

// split cuts sides where others cross or touch them, until none do.
func split(sides []side) []side {
	for range mostRounds {
		cuts := make([][]pt, len(sides))
		found := false
		cut := func(i int, p pt) {
			if p != sides[i].a && p != sides[i].b {
				cuts[i] = append(cuts[i], p)
				found = true
			}
		}
		all := newTree(sides)
		eachPair(all, all, pt{}, math.MaxInt, func(i, j int) bool {
			s, t := sides[i], sides[j]
			if s.crosses(t) {
				p := s.meet(t)
				cut(i, p)
				cut(j, p)
				return false
			}
			for _, p := range [...]pt{t.a, t.b} {
				if s.holds(p) {
					cut(i, p)
				}
			}
			for _, p := range [...]pt{s.a, s.b} {
				if t.holds(p) {
					cut(j, p)
				}
			}
			return false
		})
		if !found {
			break
		}
		next := make([]side, 0, len(sides)*2)
		for i, s := range sides {
			from, d := s.a, s.b.vec().minus(s.a.vec())
			sort.Slice(cuts[i], func(a, b int) bool {
				return d.dot(cuts[i][a].vec().minus(s.a.vec())) < d.dot(cuts[i][b].vec().minus(s.a.vec()))
			})
			for _, p := range append(cuts[i], s.b) {
				if p != from {
					next = append(next, side{from, p})
					from = p
				}
			}
		}
		sides = next
	}
	return sides
}

// edge is a side that runs from its lower end to its upper (by y, then x), with
// how many more rings run along it than against it.
type edge struct {
	side
	net int
}

func comparePt(a, b pt) int {
	if c := cmp.Compare(a.y, b.y); c != 0 {
		return c
	}
	return cmp.Compare(a.x, b.x)
}

// merge joins sides that lie on each other and drops those that cancel.
func merge(sides []side) []edge {
	edges := make([]edge, len(sides))
	for i, s := range sides {
		if comparePt(s.a, s.b) < 0 {
			edges[i] = edge{s, 1}
		} else {
			edges[i] = edge{side{s.b, s.a}, -1}
		}
	}
	slices.SortFunc(edges, func(e, f edge) int {
		if c := comparePt(e.a, f.a); c != 0 {
			return c
		}
		return comparePt(e.b, f.b)
	})
	out := edges[:0]
	for _, e := range edges {
		if n := len(out); n > 0 && out[n-1].side == e.side {
			out[n-1].net += e.net
		} else {
			out = append(out, e)
		}
	}
	return slices.DeleteFunc(out, func(e edge) bool { return e.net == 0 })
}

// keepBoundary drops the edges that have covered places on both sides, or on
// neither, and turns the others so that the covered lies to the positive side.
func keepBoundary(edges *[]edge) {
	all := *edges
	rows := newStrips(all, func(p pt) (along, over int64) { return p.y, p.x })
	columns := newStrips(all, func(p pt) (along, over int64) { return p.x, p.y })
	var kept []edge
	for i, e := range all {
		// A ray along x from the middle of the edge counts what is to its right.
		// The positive side of an edge that climbs is its left (smaller x).
		var right, left int
		if e.a.y != e.b.y {
			right = rows.count(i, e)
			left = right + e.net
		} else {
			// A level edge runs to the right; its positive side is above (larger y).
			left = -columns.count(i, e)
			right = left - e.net
		}
		switch {
		case left > 0 && right <= 0:
			kept = append(kept, edge{e.side, 1})
		case right > 0 && left <= 0:
			kept = append(kept, edge{side{e.b, e.a}, 1})
		}
	}
	*edges = kept
}

// strips finds the edges over a place along one axis quickly.
type strips struct {
	edges  []edge
	axes   func(pt) (along, over int64)
	lo     int64
	width  int64
	bucket [][]int
}

func newStrips(edges []edge, axes func(pt) (int64, int64)) *strips {
	s := &strips{edges: edges, axes: axes, lo: math.MaxInt64}
	hi := int64(math.MinInt64)
	for _, e := range edges {
		a, _ := axes(e.a)
		b, _ := axes(e.b)
		s.lo, hi = min(s.lo, a, b), max(hi, a, b)
	}
	n := int64(len(edges)/4 + 1)
	s.width = (hi-s.lo)/n + 1
	s.bucket = make([][]int, n)
	for i, e := range edges {
		a, _ := axes(e.a)
		b, _ := axes(e.b)
		if a == b {
			continue // a ray never crosses an edge that it runs along
		}
		for k := (min(a, b) - s.lo) / s.width; k <= (max(a, b)-s.lo)/s.width; k++ {
			s.bucket[k] = append(s.bucket[k], i)
		}
	}
	return s
}

// count sends a ray from the middle of edge self towards larger values and
// counts the edges that it crosses: up for each that runs towards larger values
// along the other axis, down for the rest. Doubled coordinates keep the middle
// whole.
func (s *strips) count(self int, e edge) int {
	aAlong, aOver := s.axes(e.a)
	bAlong, bOver := s.axes(e.b)
	mAlong, mOver := aAlong+bAlong, aOver+bOver
	n := 0
	for _, i := range s.bucket[(mAlong/2-s.lo)/s.width] {
		if i == self {
			continue
		}
		f := s.edges[i]
		net := f.net
		pAlong, pOver := s.axes(f.a)
		qAlong, qOver := s.axes(f.b)
		if pAlong > qAlong {
			pAlong, pOver, qAlong, qOver, net = qAlong, qOver, pAlong, pOver, -net
		}
		if 2*pAlong > mAlong || 2*qAlong <= mAlong {
			continue
		}
		// Is the edge beyond the middle? Compare its over at mAlong with mOver, where
		// its ends don't tell.
		if 2*max(pOver, qOver) < mOver {
			continue
		}
		if 2*min(pOver, qOver) > mOver || compareProducts(mOver-2*pOver, qAlong-pAlong, qOver-pOver, mAlong-2*pAlong) < 0 {
			n += net
		}
	}
	return n
}

// link walks the edges into rings. Where several leave one corner it takes the
// sharpest turn towards the covered side, so that rings which touch at a corner
// stay apart.
func link(edges []edge) [][]pt {
	slices.SortFunc(edges, func(e, f edge) int {
		if c := comparePt(e.a, f.a); c != 0 {
			return c
		}
		return comparePt(e.b, f.b)
	})
	used := make([]bool, len(edges))
	first := func(p pt) int {
		return sort.Search(len(edges), func(i int) bool { return comparePt(edges[i].a, p) >= 0 })
	}
	var rings [][]pt
	for start := range edges {
		if used[start] {
			continue
		}
		var ring []pt
		for i := start; i >= 0; {
			used[i] = true
			ring = append(ring, edges[i].a)
			here, d := edges[i].b, edges[i].b.vec().minus(edges[i].a.vec())
			if here == edges[start].a {
				break
			}
			next, sharpest := -1, math.Inf(-1)
			for j := first(here); j < len(edges) && edges[j].a == here; j++ {
				e := edges[j].b.vec().minus(here.vec())
				if turn := math.Atan2(d.cross(e), d.dot(e)); !used[j] && turn > sharpest {
					next, sharpest = j, turn
				}
			}
			i = next
		}
		if len(ring) >= 3 {
			rings = append(rings, ring)
		}
	}
	return rings
}
