package nest

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// vec is a move in nanometres, across and around.
type vec struct{ x, y float64 }

func (a vec) minus(b vec) vec     { return vec{a.x - b.x, a.y - b.y} }
func (a vec) plus(b vec) vec      { return vec{a.x + b.x, a.y + b.y} }
func (a vec) cross(b vec) float64 { return a.x*b.y - a.y*b.x }

// interval is an open stretch of moves around.
type interval struct{ lo, hi float64 }

// touch knows for which moves one shape would come nearer to another than the
// gap: the second shape, mirrored at a point, carried along the first one grown
// by the gap. A place in the plane of moves is forbidden when the line so drawn
// (the convolution of both outlines; L. Guibas, L. Ramshaw, J. Stolfi, A kinetic
// framework for computational geometry, 1983) runs around it: for two polygons
// without holes the count is the number of pieces in which they overlap.
type touch struct {
	steps []step // by strips of equal width across
	strip [][]int
	lo    float64
	width float64
	reach float64                // no move farther across is ever forbidden
	known map[float64][]interval // what is forbidden at a move across
	enter []float64              // scratch
	leave []float64
}

// step is one side of the convolution.
type step struct{ a, b vec }

// newTouch prepares the moves of ring set b against ring set a, which is grown
// by the gap. All rings are positive.
func newTouch(a, b [][]vec) *touch {
	t := &touch{known: map[float64][]interval{}}
	for _, p := range a {
		for _, q := range b {
			t.convolve(p, mirrored(q))
		}
	}
	hi := math.Inf(-1)
	t.lo = math.Inf(1)
	for _, s := range t.steps {
		t.lo, hi = min(t.lo, s.a.x, s.b.x), max(hi, s.a.x, s.b.x)
	}
	t.reach = max(-t.lo, hi)
	n := min(len(t.steps)/2+1, 512)
	t.width = (hi - t.lo) / float64(n)
	t.strip = make([][]int, n)
	at := func(x float64) int { return min(max(int((x-t.lo)/t.width), 0), n-1) }
	for i, s := range t.steps {
		for k := at(min(s.a.x, s.b.x)); k <= at(max(s.a.x, s.b.x)); k++ {
			t.strip[k] = append(t.strip[k], i)
		}
	}
	return t
}

func mirrored(ring []vec) []vec {
	out := make([]vec, len(ring))
	for i, p := range ring {
		out[i] = vec{-p.x, -p.y}
	}
	return out
}

// convolve adds the sides of the convolution of two rings: each side of one,
// carried to every corner of the other whose turn passes its direction, and run
// backwards where that corner turns the negative way. Of parallel sides that of
// p comes first; the cross product is always taken p by q, so that ties fall
// alike on both sides whatever the rounding.
func (t *touch) convolve(p, q []vec) {
	ps, qs := sides(p), sides(q)
	for i := range p {
		e, f := ps[(i+len(p)-1)%len(p)], ps[i]
		turn := e.cross(f)
		for j, d := range qs {
			fromE, fromF := e.cross(d) >= 0, f.cross(d) >= 0
			a, b := p[i].plus(q[j]), p[i].plus(q[(j+1)%len(q)])
			switch {
			case turn > 0 && fromE && !fromF:
				t.steps = append(t.steps, step{a, b})
			case turn < 0 && fromF && !fromE:
				t.steps = append(t.steps, step{b, a})
			}
		}
	}
	for j := range q {
		g, h := qs[(j+len(q)-1)%len(q)], qs[j]
		turn := g.cross(h)
		for i, d := range ps {
			toG, toH := d.cross(g) >= 0, d.cross(h) >= 0
			a, b := q[j].plus(p[i]), q[j].plus(p[(i+1)%len(p)])
			switch {
			case turn > 0 && toH && !toG:
				t.steps = append(t.steps, step{a, b})
			case turn < 0 && toG && !toH:
				t.steps = append(t.steps, step{b, a})
			}
		}
	}
}

func sides(ring []vec) []vec {
	out := make([]vec, len(ring))
	for i, p := range ring {
		out[i] = ring[(i+1)%len(ring)].minus(p)
	}
	return out
}

// uprights gives the moves across at which long upright sides of the two shapes
// pass each other, the longest first: there a pattern of shapes with upright
// sides comes closest. The sides of the convolution lie the hairline to both
// sides of such a place, so the place itself counts twice.
func (t *touch) uprights() []float64 {
	const most = mostUprights / 2
	length := map[float64]float64{}
	for _, s := range t.steps {
		if x := s.a.x; x == s.b.x {
			for _, v := range [...]float64{x - float64(hairline), x + float64(hairline)} {
				length[math.Abs(v)] += math.Abs(s.b.y - s.a.y)
			}
		}
	}
	places := slices.SortedFunc(maps.Keys(length), func(a, b float64) int {
		return cmp.Or(cmp.Compare(length[b], length[a]), cmp.Compare(a, b))
	})
	return places[:min(len(places), most)]
}

// mostKnown bounds the moves across whose answers are kept: rows that slant one
// way or another meet the same ones again and again.
const mostKnown = 1 << 14

// forbidden adds the moves around that are forbidden at the move across.
func (t *touch) forbidden(x float64, out []interval) []interval {
	k := int((x - t.lo) / t.width)
	if x < t.lo || k >= len(t.strip) {
		return out
	}
	v, ok := t.known[x]
	if !ok {
		v = t.stretches(x, k)
		if len(t.known) >= mostKnown {
			clear(t.known)
		}
		t.known[x] = v
	}
	return append(out, v...)
}

// stretches gives what is forbidden at a move across, which lies in strip k.
func (t *touch) stretches(x float64, k int) (out []interval) {
	t.enter, t.leave = t.enter[:0], t.leave[:0]
	for _, i := range t.strip[k] {
		a, b := t.steps[i].a, t.steps[i].b
		// A touch is allowed: the outermost upright sides of the convolution count
		// as free on the right (x > 0) as on the left.
		if x > 0 && (a.x > x) == (b.x > x) || x <= 0 && (a.x >= x) == (b.x >= x) {
			continue
		}
		y := a.y + (b.y-a.y)*(x-a.x)/(b.x-a.x)
		if b.x < a.x {
			t.leave = append(t.leave, y)
		} else {
			t.enter = append(t.enter, y)
		}
	}
	slices.Sort(t.enter)
	slices.Sort(t.leave)
	// Of marks at one place those that enter come first, so that two stretches
	// which meet there are one.
	around, from := 0, 0.0
	for i, j := 0, 0; j < len(t.leave); {
		if i < len(t.enter) && t.enter[i] <= t.leave[j] {
			if around++; around == 1 {
				from = t.enter[i]
			}
			i++
			continue
		}
		if around--; around == 0 && t.leave[j] > from {
			out = append(out, interval{from, t.leave[j]})
		}
		j++
	}
	return out
}

// joined sorts the stretches and joins those that overlap, in place.
func joined(in []interval) []interval {
	slices.SortFunc(in, func(a, b interval) int {
		switch {
		case a.lo < b.lo:
			return -1
		case a.lo > b.lo:
			return 1
		}
		return 0
	})
	out := in[:0]
	for _, v := range in {
		if n := len(out); n > 0 && v.lo < out[n-1].hi {
			out[n-1].hi = max(out[n-1].hi, v.hi)
		} else {
			out = append(out, v)
		}
	}
	return out
}

// inside reports whether y lies in one of the stretches, by more than a hair.
func inside(y float64, in []interval) bool {
	const hair = 1e-3 // nm; the stretches come from sums of whole nanometres
	for _, v := range in {
		if y > v.lo+hair && y < v.hi-hair {
			return true
		}
	}
	return false
}
