package outline

import (
	"math"
)

// fine is how well a curve must be known before its chord stands for it. The
// chords of two curves, and what those may differ from them on either side,
// stay under Slack.
const fine = 0.06

// between gives the separation of two segments, or best if it is not less, or
// anything below enough. It halves curves until their chords are as good as
// themselves, and leaves out the parts that can't be nearest.
func between(p, q *prim, best, enough float64) float64 {
	sp, sq := p.sagitta(), q.sagitta()
	low := chordDistance(p, q) - sp - sq
	switch {
	case low >= best || best < enough:
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
	return between(&r, q, between(&l, q, best, enough), enough)
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

// lineToLine gives the separation of two lines. Where they cross it is minus
// the least way that one must draw back.
func lineToLine(a, b, c, d vec) float64 {
	s, t := b.minus(a), d.minus(c)
	ends := min(pointToLine(a, c, d), pointToLine(b, c, d), pointToLine(c, a, b), pointToLine(d, a, b))
	if s.cross(c.minus(a))*s.cross(d.minus(a)) < 0 && t.cross(a.minus(c))*t.cross(b.minus(c)) < 0 {
		return -ends
	}
	return ends
}

func pointToArc(v vec, p *prim) float64 {
	w := v.minus(p.c)
	if p.spans(w.angle()) {
		return math.Abs(w.len() - p.r)
	}
	return min(v.minus(p.a).len(), v.minus(p.b).len())
}

// lineToArc gives the separation, negative where the line cuts the arc.
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
				return -min(best, p.r-off)
			}
		}
	} else if along >= 0 && along <= n && p.spans(foot.minus(p.c).angle()) {
		best = min(best, off-p.r)
	}
	return best
}

// arcToArc gives the separation, negative where the arcs cut each other.
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
				return -min(best, p.r+q.r-d, d-math.Abs(p.r-q.r))
			}
		}
	}
	return best
}
