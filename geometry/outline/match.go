package outline

import (
	"math"

	"quoin/geometry"
)

// Match says how two outlines lie on each other.
type Match struct {
	// Deviation is the largest distance of a place on either line from the other
	// line (F. Hausdorff, Grundzüge der Mengenlehre, 1914), to twice Flatness.
	Deviation geometry.Length
	At        geometry.Position // where that is, on or beside the first outline
}

// Within reports whether the outlines are the same cut, to the tolerance.
func (m Match) Within(tolerance geometry.Length) bool { return m.Deviation <= tolerance }

// matchStep is how far apart places on a line are looked at. Between them the
// deviation of lines that nearly lie on each other changes by a fraction of it;
// corners are places by themselves.
const matchStep = float64(geometry.Millimetre) / 2

// Compare lays b on a, with their boxes' middles on one another, and says how
// they differ. It is meant for outlines of nearly one size.
func Compare(a, b Outline) Match {
	middle := func(o Outline) geometry.Size {
		box := o.Bounds()
		return geometry.Size{Across: (box.Min.Across + box.Max.Across) / 2, Around: (box.Min.Around + box.Max.Around) / 2}
	}
	from, to := middle(b), middle(a)
	return CompareInPlace(a, b.Moved(geometry.Size{Across: to.Across - from.Across, Around: to.Around - from.Around}))
}

// CompareInPlace is Compare for outlines that lie as they are to be compared.
func CompareInPlace(a, b Outline) Match {
	p, q := newLines(a), newLines(b)
	worst, at := -1.0, vec{}
	for _, pair := range [...][2]*lines{{q, p}, {p, q}} {
		for _, s := range pair[0].sides {
			u, v := s.a.vec(), s.b.vec()
			n := max(1, math.Ceil(v.minus(u).len()/matchStep))
			for k := range int(n) {
				place := u.mix(v, float64(k)/n)
				if d := pair[1].distance(place, worst); d > worst {
					worst, at = d, place
				}
			}
		}
	}
	return Match{geometry.Length(math.Round(max(worst, 0))), nearest(at)}
}

// lines are an outline's flattened sides, to measure distances to.
type lines struct {
	sides []side
	tree  *tree
}

func newLines(o Outline) *lines {
	l := &lines{sides: sidesOf(o.rings(Flatness))}
	l.tree = newTree(l.sides)
	return l
}

// distance gives the distance of a place from the lines, or less than enough
// once it is sure to be no more than that.
func (l *lines) distance(v vec, enough float64) float64 {
	least := math.Inf(1)
	var look func(r run)
	look = func(r run) {
		if least <= enough || l.tree.boxes[r.k].distance(v) >= least {
			return
		}
		if r.to-r.from <= l.tree.leaf {
			for _, s := range l.sides[r.from:r.to] {
				least = min(least, pointToLine(v, s.a.vec(), s.b.vec()))
			}
			return
		}
		near, far := r.halves()
		if l.tree.boxes[far.k].distance(v) < l.tree.boxes[near.k].distance(v) {
			near, far = far, near
		}
		look(near)
		look(far)
	}
	look(run{0, 0, len(l.sides)})
	return least
}

// distance gives the distance of a place from the box, 0 inside.
func (b ringBox) distance(v vec) float64 {
	return math.Hypot(max(float64(b.lo.x)-v.x, v.x-float64(b.hi.x), 0), max(float64(b.lo.y)-v.y, v.y-float64(b.hi.y), 0))
}
