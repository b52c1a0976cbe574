package outline

import (
	"cmp"
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
	alongS, alongT := s.whole(pt{}, j.onS, j.touches), t.whole(by, j.onT, j.touches)
	return s.walk(pt{}, j.onS, j.touches, func(piece side, whole bool) bool {
		if whole && alongT[piece] {
			return true
		}
		return !(whole && alongT[piece.flipped()]) && t.holdsMiddle(piece, by)
	}) || t.walk(by, j.onT, j.touches, func(piece side, whole bool) bool {
		return !(whole && alongS[piece.flipped()]) && s.holdsMiddle(piece, pt{})
	})
}

// joint is where two solids touch.
type joint struct {
	s, t     *solid
	by       pt // of t
	touches  map[pt]bool
	onS, onT map[int][]pt // by side: corners of the other that lie inside it
}

// whole gives the pieces of the moved rings that touch at both ends: the only
// ones that may run along the other shape's.
func (s *solid) whole(by pt, cuts map[int][]pt, touches map[pt]bool) map[side]bool {
	out := map[side]bool{}
	if len(touches) < 2 {
		return out
	}
	s.walk(by, cuts, touches, func(piece side, whole bool) bool {
		if whole {
			out[piece] = true
		}
		return false
	})
	return out
}

// cross reports whether two sides cross, and notes where they touch.
func (j *joint) cross() bool {
	return eachMeeting(j.s.tree, j.t.tree, j.by, func(a, b int) bool {
		u, v := j.s.sides[a], j.t.sides[b].moved(j.by)
		if u.crosses(v) {
			return true
		}
		for _, p := range [...]pt{v.a, v.b} {
			if u.holds(p) {
				j.onS[a] = append(j.onS[a], p)
				j.touches[p] = true
			} else if p == u.a || p == u.b {
				j.touches[p] = true
			}
		}
		for _, p := range [...]pt{u.a, u.b} {
			if v.holds(p) {
				j.onT[b] = append(j.onT[b], p)
				j.touches[p] = true
			}
		}
		return false
	})
}

// walk calls f with pieces of the moved rings, cut at the touches, until it
// reports true: with every piece that has a touch at both ends (whole), and with
// one piece of each other stretch between touches.
func (s *solid) walk(by pt, cuts map[int][]pt, touches map[pt]bool, f func(piece side, whole bool) bool) bool {
	first := 0
	var ends []pt
	for _, ring := range s.rings {
		fresh := true // no piece of this stretch was looked at yet
		from := s.sides[first].moved(by).a
		touched := touches[from]
		for i := range ring {
			u := s.sides[first+i].moved(by)
			ends = append(u.inOrder(append(ends[:0], cuts[first+i]...)), u.b)
			for _, to := range ends {
				if to == from {
					continue
				}
				touches := touches[to]
				fresh = fresh || touched
				whole := touched && touches
				if (whole || fresh) && f(side{from, to}, whole) {
					return true
				}
				fresh, from, touched = false, to, touches
			}
		}
		first += len(ring)
	}
	return false
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
	for _, u := range s.sides {
		if a, b := 2*u.a.y > m.y, 2*u.b.y > m.y; a != b {
			if side := orient(pt{2 * u.a.x, 2 * u.a.y}, pt{2 * u.b.x, 2 * u.b.y}, m); b == (side > 0) {
				odd = !odd
			}
		}
	}
	return odd
}

func (s side) flipped() side { return side{s.b, s.a} }

func (s side) moved(by pt) side {
	return side{pt{s.a.x + by.x, s.a.y + by.y}, pt{s.b.x + by.x, s.b.y + by.y}}
}

// eachMeeting calls f with all pairs of a side of one tree and a side of the
// other, moved, whose boxes touch, until f reports true.
func eachMeeting(s, t *tree, by pt, f func(i, j int) bool) bool {
	var pairs func(a, b run) bool
	pairs = func(a, b run) bool {
		if !s.boxes[a.k].touches(t.boxes[b.k].moved(by)) {
			return false
		}
		wholeA, wholeB := a.to-a.from <= s.leaf, b.to-b.from <= t.leaf
		switch {
		case wholeA && wholeB:
			for i := a.from; i < a.to; i++ {
				box := s.sides[i].box()
				for j := b.from; j < b.to; j++ {
					if box.touches(t.sides[j].box().moved(by)) && f(i, j) {
						return true
					}
				}
			}
			return false
		case wholeB || !wholeA && a.to-a.from >= b.to-b.from:
			l, r := a.halves()
			return pairs(l, b) || pairs(r, b)
		}
		l, r := b.halves()
		return pairs(a, l) || pairs(a, r)
	}
	return pairs(run{0, 0, len(s.sides)}, run{0, 0, len(t.sides)})
}

func (b ringBox) moved(by pt) ringBox {
	return ringBox{pt{b.lo.x + by.x, b.lo.y + by.y}, pt{b.hi.x + by.x, b.hi.y + by.y}}
}
