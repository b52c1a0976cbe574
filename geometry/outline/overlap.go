package outline

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// solid is an outline's flattened rings made ready to be asked whether they
// share a place with others.
type solid struct {
	rings [][]pt
	sides []side // ring after ring, as in rings
	tree  *tree
}

func newSolid(rings [][]pt) *solid {
	s := &solid{rings: rings}
	for _, ring := range rings {
		for i, p := range ring {
			s.sides = append(s.sides, side{p, ring[(i+1)%len(ring)]})
		}
	}
	s.tree = newTree(s.sides)
	return s
}

// overlaps reports whether the insides of s and of t, moved, share a place. It
// is exact: sides that touch, run along each other or meet at corners are no
// overlap by themselves, however many there are.
//
// Where no two sides cross, every touch is at a corner of one of them, and so in
// whole nanometres. Between touches a line is all inside the other shape, all
// outside, or runs along its edge; along the edge, the same sense means that both
// shapes lie on the same side. So one place of each stretch tells, and none is a
// matter of majority.
func (s *solid) overlaps(t *solid, by pt) bool {
	if len(s.sides) == 0 || len(t.sides) == 0 {
		return false
	}
	j := joint{s: s, t: t, by: by, touches: map[pt]bool{}, onS: map[int][]pt{}, onT: map[int][]pt{}}
	if j.cross() {
		return true
	}
	piecesS, piecesT := s.pieces(pt{}, j.onS, j.touches), t.pieces(by, j.onT, j.touches)
	alongS, alongT := whole(piecesS), whole(piecesT)
	return slices.ContainsFunc(piecesS, func(p piece) bool {
		if p.whole && alongT[p.side] {
			return true
		}
		return !(p.whole && alongT[p.flipped()]) && t.holdsMiddle(p.side, by)
	}) || slices.ContainsFunc(piecesT, func(p piece) bool {
		return !(p.whole && alongS[p.flipped()]) && s.holdsMiddle(p.side, pt{})
	})
}

// joint is where two solids touch.
type joint struct {
	s, t     *solid
	by       pt // of t
	touches  map[pt]bool
	onS, onT map[int][]pt // by side that touches: corners of the other that lie inside it
}

// piece is a part of a side, cut at the touches.
type piece struct {
	side
	whole bool // it touches at both ends
}

// whole gives the pieces that touch at both ends: the only ones that may run
// along the other shape's.
func whole(pieces []piece) map[side]bool {
	out := map[side]bool{}
	for _, p := range pieces {
		if p.whole {
			out[p.side] = true
		}
	}
	return out
}

// cross reports whether two sides cross, and notes where they touch.
func (j *joint) cross() bool {
	crossed, _ := eachPair(j.s.tree, j.t.tree, j.by, math.MaxInt, func(a, b int) bool {
		u, v := j.s.sides[a], j.t.sides[b].moved(j.by)
		if u.crosses(v) {
			return true
		}
		j.meet(j.onS, a, u, j.onT, b, v)
		j.meet(j.onT, b, v, j.onS, a, u)
		return false
	})
	return crossed
}

// meet notes where the ends of v touch u, and which side a touch begins: the one
// before it, which ends there, meets the other side as well.
func (j *joint) meet(onU map[int][]pt, a int, u side, onV map[int][]pt, b int, v side) {
	for _, p := range [...]pt{v.a, v.b} {
		inside := u.holds(p)
		if !inside && p != u.a && p != u.b {
			continue
		}
		j.touches[p] = true
		if inside {
			onU[a] = append(onU[a], p)
		}
		if p == v.a && onV[b] == nil {
			onV[b] = []pt{} // nothing lies inside, so far
		}
	}
}

// pieces gives the pieces of the moved rings that begin with a touch, one for
// each stretch between touches among them, and one of each ring without any.
func (s *solid) pieces(by pt, cuts map[int][]pt, touches map[pt]bool) []piece {
	touched := slices.Sorted(maps.Keys(cuts))
	var out []piece
	first := 0
	for _, ring := range s.rings {
		n, _ := slices.BinarySearch(touched, first+len(ring))
		if n == 0 {
			out = append(out, piece{side: s.sides[first].moved(by)})
		}
		for _, i := range touched[:n] {
			u := s.sides[i].moved(by)
			from := u.a
			for _, to := range append(u.inOrder(cuts[i]), u.b) {
				if to != from && touches[from] {
					out = append(out, piece{side{from, to}, touches[to]})
				}
				from = to
			}
		}
		touched, first = touched[n:], first+len(ring)
	}
	return out
}

// inOrder sorts places on the side along it.
func (s side) inOrder(on []pt) []pt {
	if len(on) < 2 {
		return on
	}
	d := s.b.vec().minus(s.a.vec())
	slices.SortFunc(on, func(p, q pt) int {
		return cmp.Compare(d.dot(p.vec().minus(s.a.vec())), d.dot(q.vec().minus(s.a.vec())))
	})
	return on
}

// holdsMiddle reports whether the middle of the piece, which touches no line of
// the moved solid, lies inside it. Doubled coordinates keep the middle whole.
func (s *solid) holdsMiddle(piece side, by pt) bool {
	m := pt{piece.a.x + piece.b.x - 2*by.x, piece.a.y + piece.b.y - 2*by.y}
	odd := false
	var look func(r run)
	look = func(r run) {
		// The sides beyond the place, on a ray along x.
		if b := s.tree.boxes[r.k]; 2*b.lo.y > m.y || 2*b.hi.y < m.y || 2*b.hi.x < m.x {
			return
		}
		if r.to-r.from > s.tree.leaf {
			near, far := r.halves()
			look(near)
			look(far)
			return
		}
		for _, u := range s.sides[r.from:r.to] {
			if a, b := 2*u.a.y > m.y, 2*u.b.y > m.y; a != b {
				if side := orient(pt{2 * u.a.x, 2 * u.a.y}, pt{2 * u.b.x, 2 * u.b.y}, m); b == (side > 0) {
					odd = !odd
				}
			}
		}
	}
	look(run{0, 0, len(s.sides)})
	return odd
}

func (s side) flipped() side { return side{s.b, s.a} }

func (s side) moved(by pt) side {
	return side{pt{s.a.x + by.x, s.a.y + by.y}, pt{s.b.x + by.x, s.b.y + by.y}}
}

func (b ringBox) moved(by pt) ringBox {
	return ringBox{pt{b.lo.x + by.x, b.lo.y + by.y}, pt{b.hi.x + by.x, b.hi.y + by.y}}
}
