package outline

import (
	"math"

	"quoin/geometry"
)

// Clearance gives the true distance between two outlines, 0 when they touch or
// overlap, to the nearest nanometre: the shortest way from any place of one to
// any place of the other. A piece that lies in the other's hole is measured to
// the hole's edge.
//
// Lines and arcs are exact, and so are circles and rectangles of them. For
// curves the result is at most a nanometre too small and never too large.
func Clearance(a, b Outline) geometry.Length {
	d := Distance(a, b, math.Inf(1))
	if math.IsInf(d, 1) {
		return math.MaxInt64
	}
	return geometry.Length(math.Round(d))
}

// Distance is Clearance in nanometres before the rounding. It stops looking
// beyond the limit: when the distance is at least limit, it returns limit.
func Distance(a, b Outline, limit float64) float64 {
	if a.Empty() || b.Empty() {
		return limit
	}
	if overlap(a, b) {
		return 0
	}
	best := limit
	as, bs := boxed(a), boxed(b)
	reach := boxOf(as)
	for i := range bs {
		q := &bs[i]
		if q.box.gap(reach) >= best {
			continue
		}
		for j := range as {
			if p := &as[j]; p.box.gap(q.box) < best {
				best = between(&p.prim, &q.prim, best)
			}
		}
	}
	return max(best, 0)
}

// overlap tells whether a part of one outline lies inside the other, seen at
// one place of each contour. Contours that cross are found by their distance.
func overlap(a, b Outline) bool {
	if a.bounds.Intersect(b.bounds).Empty() {
		return false
	}
	for _, c := range a.contours {
		if b.Contains(c.Start) {
			return true
		}
	}
	for _, c := range b.contours {
		if a.Contains(c.Start) {
			return true
		}
	}
	return false
}

// extent is a box in nanometres.
type extent struct{ lo, hi vec }

// gap gives the distance between two boxes.
func (e extent) gap(f extent) float64 {
	x := max(e.lo.x-f.hi.x, f.lo.x-e.hi.x, 0)
	y := max(e.lo.y-f.hi.y, f.lo.y-e.hi.y, 0)
	if x == 0 || y == 0 {
		return x + y
	}
	return math.Hypot(x, y)
}

type boxedPrim struct {
	prim
	box extent
}

func boxed(o Outline) []boxedPrim {
	var out []boxedPrim
	for _, c := range o.contours {
		for _, p := range c.prims() {
			lo, hi := p.bounds()
			out = append(out, boxedPrim{p, extent{lo, hi}})
		}
	}
	return out
}

func boxOf(ps []boxedPrim) extent {
	e := ps[0].box
	for _, p := range ps[1:] {
		e.lo = vec{min(e.lo.x, p.box.lo.x), min(e.lo.y, p.box.lo.y)}
		e.hi = vec{max(e.hi.x, p.box.hi.x), max(e.hi.y, p.box.hi.y)}
	}
	return e
}

// fine is how well a curve must be known before its chord stands for it. Two of
// them stay under the nanometre that Clearance promises.
const fine = 0.4

// between gives the distance of two segments, or best if it is not nearer. It
// halves curves until their chords are as good as themselves, and leaves out
// the parts that can't be nearest.
func between(p, q *prim, best float64) float64 {
	sp, sq := p.sagitta(), q.sagitta()
	low := chordDistance(p, q) - sp - sq
	switch {
	case low >= best:
		return best
	case sp <= fine && sq <= fine:
		return low
	}
	if sp < sq {
		p, q = q, p
	}
	l, r := p.halves()
	if chordDistance(&r, q) < chordDistance(&l, q) {
		l, r = r, l // the nearer first, so that more of the other drops out
	}
	return between(&r, q, between(&l, q, best))
}

// chordDistance is the distance with cubic curves replaced by their chords.
func chordDistance(p, q *prim) float64 {
	switch {
	case p.kind == arc && q.kind == arc:
		return arcToArc(p, q)
	case p.kind == arc:
		return lineToArc(q.a, q.b, p)
	case q.kind == arc:
		return lineToArc(p.a, p.b, q)
	}
	return lineToLine(p.a, p.b, q.a, q.b)
}

func pointToLine(v, a, b vec) float64 {
	d := b.minus(a)
	n := d.dot(d)
	if n == 0 {
		return v.minus(a).len()
	}
	w := v.minus(a)
	switch t := w.dot(d); {
	case t <= 0:
		return w.len()
	case t >= n:
		return v.minus(b).len()
	}
	return math.Abs(d.cross(w)) / math.Sqrt(n)
}

func lineToLine(a, b, c, d vec) float64 {
	s, t := b.minus(a), d.minus(c)
	if s.cross(c.minus(a))*s.cross(d.minus(a)) < 0 && t.cross(a.minus(c))*t.cross(b.minus(c)) < 0 {
		return 0
	}
	return min(pointToLine(a, c, d), pointToLine(b, c, d), pointToLine(c, a, b), pointToLine(d, a, b))
}

func pointToArc(v vec, p *prim) float64 {
	w := v.minus(p.c)
	if p.spans(w.angle()) {
		return math.Abs(w.len() - p.r)
	}
	return min(v.minus(p.a).len(), v.minus(p.b).len())
}

func lineToArc(a, b vec, p *prim) float64 {
	best := min(pointToArc(a, p), pointToArc(b, p), pointToLine(p.a, a, b), pointToLine(p.b, a, b))
	d := b.minus(a)
	n := d.len()
	if n == 0 {
		return best
	}
	u := d.times(1 / n)
	along := p.c.minus(a).dot(u)
	foot := a.plus(u.times(along))
	off := foot.minus(p.c).len()
	if off <= p.r { // the line cuts the circle
		half := math.Sqrt(p.r*p.r - off*off)
		for _, t := range [...]float64{along - half, along + half} {
			if t >= 0 && t <= n && p.spans(a.plus(u.times(t)).minus(p.c).angle()) {
				return 0
			}
		}
	} else if along >= 0 && along <= n && p.spans(foot.minus(p.c).angle()) {
		best = min(best, off-p.r)
	}
	return best
}

func arcToArc(p, q *prim) float64 {
	best := min(pointToArc(p.a, q), pointToArc(p.b, q), pointToArc(q.a, p), pointToArc(q.b, p))
	w := q.c.minus(p.c)
	d := w.len()
	if d == 0 {
		return best // of one centre: an end of one is as near as any place
	}
	towards, away := w.angle(), w.times(-1).angle()
	// Where the line of centres leaves both circles, the distance is least or
	// greatest; only places that both arcs reach count.
	for _, side := range [...]struct {
		pAngle, qAngle, gap float64
	}{
		{towards, away, math.Abs(d - p.r - q.r)},
		{towards, towards, math.Abs(d + q.r - p.r)},
		{away, away, math.Abs(d + p.r - q.r)},
	} {
		if p.spans(side.pAngle) && q.spans(side.qAngle) {
			best = min(best, side.gap)
		}
	}
	if d <= p.r+q.r && d >= math.Abs(p.r-q.r) { // the circles cut
		x := (d*d + p.r*p.r - q.r*q.r) / (2 * d)
		y := math.Sqrt(max(p.r*p.r-x*x, 0))
		u := w.times(1 / d)
		for _, s := range [...]float64{y, -y} {
			v := p.c.plus(u.times(x)).plus(u.left().times(s))
			if p.spans(v.minus(p.c).angle()) && q.spans(v.minus(q.c).angle()) {
				return 0
			}
		}
	}
	return best
}
