package outline

import (
	"math"
	"sync"

	"quoin/geometry"
)

// Gauge is an outline made ready for measuring many distances.
type Gauge struct {
	outline Outline
	prims   []boxedPrim
	boxes   []extent // of runs of segments: node k's halves are 2k+1 and 2k+2
	solid   func() *solid
}

type boxedPrim struct {
	prim
	box extent
}

// NewGauge prepares an outline.
func NewGauge(o Outline) *Gauge {
	g := &Gauge{outline: o, solid: sync.OnceValue(func() *solid { return newSolid(o.rings(touchFlatness)) })}
	for _, c := range o.contours {
		for _, p := range c.prims() {
			lo, hi := p.bounds()
			g.prims = append(g.prims, boxedPrim{p, extent{lo, hi}})
		}
	}
	if len(g.prims) > 0 {
		g.enclose(0, 0, len(g.prims))
	}
	return g
}

// enclose makes the boxes of a run of segments, halved down to single ones.
func (g *Gauge) enclose(k, from, to int) extent {
	for len(g.boxes) <= k {
		g.boxes = append(g.boxes, extent{})
	}
	e := g.prims[from].box
	if to-from > 1 {
		m := (from + to) / 2
		e = g.enclose(2*k+1, from, m).union(g.enclose(2*k+2, m, to))
	}
	g.boxes[k] = e
	return e
}

// Separation returns the true distance in nanometres between g and h moved by the
// size: the shortest way from any place of one to any place of the other. A piece
// that lies in the other's hole is measured to the hole's edge. Lines and arcs are
// exact, and so are circles and rectangles of them; curves are known to a quarter of
// a nanometre. Where they overlap it is negative: about how deep
// the shallowest place of the overlap is where their lines cross, a millimetre
// where they don't. A touch is none, and told from overlaps exactly, but for curves by at most
// 20 nm. It stops looking beyond the limit: what is at least so far apart gives the limit.
func (g *Gauge) Separation(h *Gauge, by geometry.Size, limit float64) float64 {
	if len(g.prims) == 0 || len(h.prims) == 0 {
		return limit
	}
	return g.measure(h, by, limit, math.Inf(-1))
}

// Keeps reports whether the separation is at least the gap. It is quicker than
// Separation, as it stops at the first place that is nearer.
func (g *Gauge) Keeps(h *Gauge, by geometry.Size, gap geometry.Length) bool {
	if len(g.prims) == 0 || len(h.prims) == 0 {
		return true
	}
	enough := float64(gap) - Slack
	// The limit is beyond the gap: what is exactly the gap apart must count.
	return g.measure(h, by, float64(gap)+1, enough) >= enough
}

// Slack is what a measured separation may be short of the true one, in
// nanometres: a quarter of one, where curves are measured.
const Slack = 0.25

// measure gives the separation, or any below enough once it is sure to be.
func (g *Gauge) measure(h *Gauge, by geometry.Size, limit, enough float64) float64 {
	m := measuring{g: g, h: h, shift: vec{float64(by.Across), float64(by.Around)}, best: limit, enough: enough}
	m.runs(run{0, 0, len(g.prims)}, run{0, 0, len(h.prims)})
	if m.best < enough {
		return m.best
	}
	if !g.boxes[0].overlaps(h.boxes[0].moved(m.shift)) {
		return m.best
	}
	if m.best < touching {
		if g.solid().overlaps(h.solid(), m.shift.round()) {
			return min(m.best, -swallowed)
		}
	} else if g.swallows(h, m.shift) || h.swallows(g, m.shift.times(-1)) {
		return -swallowed
	}
	return m.best
}

// touching is the separation, in nanometres, under which the lines of two
// outlines count as touching: no place of one then reports whether they overlap,
// because it may be where they touch. Flattened lines do, exactly.
const touching = 2

// touchFlatness is how finely curves are flattened to tell a touch from an
// overlap: two that bulge towards each other may overlap by twice as much. A
// label has a few thousand corners then, and only those near the touch are
// looked at.
const touchFlatness = 10 * geometry.Nanometre

// measuring is one measurement under way.
type measuring struct {
	g, h   *Gauge
	shift  vec // of h
	best   float64
	enough float64 // a best below it ends the search
}

// gap gives the distance of two runs' boxes.
func (m *measuring) gap(a, b run) float64 {
	return m.g.boxes[a.k].gap(m.h.boxes[b.k].moved(m.shift))
}

// runs measures two runs of segments, the nearer halves first, leaving out what
// can't be nearer than the best. Boxes that overlap must be looked into even
// below a best of 0: the overlap may be deeper elsewhere.
func (m *measuring) runs(a, b run) {
	if m.best < m.enough || m.gap(a, b) > max(m.best, 0) {
		return
	}
	if a.to-a.from == 1 && b.to-b.from == 1 {
		q := m.h.prims[b.from].moved(m.shift)
		m.best = between(&m.g.prims[a.from].prim, &q, m.best, m.enough)
		return
	}
	var pairs [2][2]run
	if a.to-a.from >= b.to-b.from {
		l, r := a.halves()
		pairs = [2][2]run{{l, b}, {r, b}}
	} else {
		l, r := b.halves()
		pairs = [2][2]run{{a, l}, {a, r}}
	}
	if m.gap(pairs[1][0], pairs[1][1]) < m.gap(pairs[0][0], pairs[0][1]) {
		pairs[0], pairs[1] = pairs[1], pairs[0]
	}
	for _, p := range pairs {
		m.runs(p[0], p[1])
	}
}

// swallowed is the depth given where the lines of two outlines don't cross and
// yet they overlap, one inside the other or touching all along: no place of one
// need be near the other's line, so the depth is not measured.
const swallowed = float64(geometry.Millimetre)

// swallows reports whether a contour of h, moved, lies inside g. No line of one
// touches the other's, so any place of the contour tells.
func (g *Gauge) swallows(h *Gauge, shift vec) bool {
	first := 0
	for _, c := range h.outline.contours {
		if g.contains(h.prims[first].point(0.5).plus(shift)) {
			return true
		}
		first += len(c.Segments)
	}
	return false
}

// contains reports whether a place lies inside the outline and not in a hole. Within
// a nanometre of the line itself either answer may come.
func (g *Gauge) contains(v vec) bool {
	odd := false
	for i := range g.prims {
		p := &g.prims[i]
		if p.box.lo.y <= v.y && v.y <= p.box.hi.y && p.box.hi.x >= v.x && p.crossings(v)%2 == 1 {
			odd = !odd
		}
	}
	return odd
}

// extent is a box in nanometres.
type extent struct{ lo, hi vec }

func (e extent) union(f extent) extent {
	return extent{vec{min(e.lo.x, f.lo.x), min(e.lo.y, f.lo.y)}, vec{max(e.hi.x, f.hi.x), max(e.hi.y, f.hi.y)}}
}

func (e extent) moved(v vec) extent { return extent{e.lo.plus(v), e.hi.plus(v)} }

func (e extent) overlaps(f extent) bool {
	return e.lo.x < f.hi.x && f.lo.x < e.hi.x && e.lo.y < f.hi.y && f.lo.y < e.hi.y
}

// gap gives the distance between two boxes.
func (e extent) gap(f extent) float64 {
	x := max(e.lo.x-f.hi.x, f.lo.x-e.hi.x, 0)
	y := max(e.lo.y-f.hi.y, f.lo.y-e.hi.y, 0)
	if x == 0 || y == 0 {
		return x + y
	}
	return math.Hypot(x, y)
}

func (p prim) moved(v vec) prim {
	p.a, p.b, p.c, p.c1, p.c2 = p.a.plus(v), p.b.plus(v), p.c.plus(v), p.c1.plus(v), p.c2.plus(v)
	return p
}
