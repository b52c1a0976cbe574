package outline

import (
	"math"

	"quoin/geometry"
)

// Gauge is an outline made ready for measuring many distances.
type Gauge struct {
	outline Outline
	prims   []boxedPrim
	extent  extent
}

type boxedPrim struct {
	prim
	box extent
}

// NewGauge prepares an outline.
func NewGauge(o Outline) *Gauge {
	g := &Gauge{outline: o, extent: nowhere()}
	for _, c := range o.contours {
		for _, p := range c.prims() {
			lo, hi := p.bounds()
			box := extent{lo, hi}
			g.prims = append(g.prims, boxedPrim{p, box})
			g.extent = g.extent.union(box)
		}
	}
	return g
}

// Separation gives the distance in nanometres between g and h moved by the
// size, as Clearance does. Where they overlap it is negative: about how deep
// the shallowest place of the overlap is, so that a touch, which rounding may
// turn into the least of overlaps, tells itself from a real one. It stops
// looking beyond the limit: what is at least so far apart gives the limit.
func (g *Gauge) Separation(h *Gauge, by geometry.Size, limit float64) float64 {
	shift := vec{float64(by.Across), float64(by.Around)}
	reach := h.extent.moved(shift)
	if g.extent.gap(reach) >= max(limit, 0) && g.extent.gap(reach) > 0 {
		return limit
	}
	best := limit
	mine := within(g.prims, reach, best)
	theirs := within(h.prims, g.extent.moved(shift.times(-1)), best)
	for _, q := range theirs {
		moved := q.prim.moved(shift)
		box := q.box.moved(shift)
		for _, p := range mine {
			if p.box.gap(box) <= max(best, 0) {
				best = between(&p.prim, &moved, best)
			}
		}
	}
	if g.extent.overlaps(reach) {
		if lies(g, h, by.Across, by.Around) || lies(h, g, -by.Across, -by.Around) {
			return min(best, -swallowed)
		}
	}
	return best
}

// swallowed is the depth given for an outline that lies in another: no contour
// need be near, so it is not measured.
const swallowed = float64(geometry.Millimetre)

// lies tells whether a contour of h, moved, lies inside g: most of a few places
// along it do. One alone may stand where the two touch.
func lies(g, h *Gauge, across, around geometry.Length) bool {
	for _, c := range h.outline.contours {
		in, seen := 0, 0
		from := c.Start
		ps := c.Segments
		for i, s := range ps {
			if i%(len(ps)/8+1) == 0 {
				segment := s.prim(at(from))
				p := nearest(segment.point(0.5))
				seen++
				if g.outline.Contains(geometry.Position{Across: p.Across + across, Around: p.Around + around}) {
					in++
				}
			}
			from = s.To
		}
		if 2*in > seen {
			return true
		}
	}
	return false
}

// within gives the segments that are not farther than limit from the extent.
func within(ps []boxedPrim, e extent, limit float64) []*boxedPrim {
	out := make([]*boxedPrim, 0, len(ps))
	for i := range ps {
		if ps[i].box.gap(e) <= max(limit, 0) {
			out = append(out, &ps[i])
		}
	}
	return out
}

// extent is a box in nanometres.
type extent struct{ lo, hi vec }

func nowhere() extent {
	return extent{vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}}
}

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
