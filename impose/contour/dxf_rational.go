package contour

import (
	"math"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// mostDegree bounds splines; drawing programs offer up to 11 (from memory).
const mostDegree = 25

// splineFit is how far cubic curves may stray from a spline that is none itself,
// in nanometres: a twentieth of outline.Flatness, so that areas agree to a hundred-
// thousandth.
const splineFit = 50

// rational reports whether the control points pull unlike.
func (s *curve) rational() bool {
	for _, w := range s.weights {
		if math.Abs(w-s.weights[0]) > 1e-9*s.weights[0] {
			return true
		}
	}
	return false
}

// homogeneous is a point in the plane times its weight, and the weight: there a
// rational spline is a plain one (L. Piegl and W. Tiller, The NURBS Book, 4.1).
type homogeneous [3]float64

func (s *curve) weighted() []homogeneous {
	list := make([]homogeneous, len(s.control))
	for i, p := range s.control {
		w := 1.0
		if len(s.weights) > 0 {
			w = s.weights[i]
		}
		list[i] = homogeneous{p[0] * w, p[1] * w, w}
	}
	return list
}

// at returns place and speed at t in the stretch that begins at knot k. The last
// round of de Boor's scheme holds both.
func (s *curve) at(points []homogeneous, k int, t float64) (place, speed [2]float64) {
	d := append([]homogeneous(nil), points[k-s.degree:k+1]...)
	var rate homogeneous
	for round := range s.degree {
		for i := s.degree; i > round; i-- {
			if round == s.degree-1 {
				span := s.knots[k-s.degree+i+0]
				high := s.knots[k+i-round]
				for c := range rate {
					rate[c] = float64(s.degree) * (d[i][c] - d[i-1][c]) / (high - span)
				}
			}
			u := s.share(k, i, round, t)
			for c := range d[i] {
				d[i][c] = d[i-1][c] + (d[i][c]-d[i-1][c])*u
			}
		}
	}
	q := d[s.degree]
	place = [2]float64{q[0] / q[2], q[1] / q[2]}
	speed = [2]float64{(rate[0] - rate[2]*place[0]) / q[2], (rate[1] - rate[2]*place[1]) / q[2]}
	return place, speed
}

// fitted adds a spline as cubic curves that have its places and directions at
// their ends, halved until they keep splineFit.
func (x *dxfPen) fitted(r record, s curve) error {
	points := s.weighted()
	for _, p := range s.control { // the spline stays among them
		if _, err := x.position(r, p[0], p[1]); err != nil {
			return err
		}
	}
	var c outline.Contour
	for k := s.degree; k < len(s.control); k++ {
		a, b := s.knots[k], s.knots[k+1]
		if a == b {
			continue
		}
		f := fitting{x: x, s: &s, points: points, k: k}
		if len(c.Segments) == 0 {
			p, _ := f.at(a)
			c.Start = nearest(p)
		}
		f.stretch(&c, a, b, 0)
	}
	if len(c.Segments) == 0 {
		x.drawing.skip(byName("SPLINE of no length"))
		return nil
	}
	return x.addContour(r, c, false)
}

// fitting is one stretch between two knots.
type fitting struct {
	x      *dxfPen
	s      *curve
	points []homogeneous
	k      int
}

// at returns place and speed in nanometres as seen.
func (f *fitting) at(t float64) (place, speed [2]float64) {
	p, v := f.s.at(f.points, f.k, t)
	to := f.x.to
	place[0], place[1] = to.point(p[0], p[1])
	return place, [2]float64{to.a*v[0] + to.c*v[1], to.b*v[0] + to.d*v[1]}
}

// mostHalvings ends the search where a spline has a corner between its knots,
// which takes weights beyond all measure.
const mostHalvings = 14

func (f *fitting) stretch(c *outline.Contour, a, b float64, depth int) {
	p, v := f.at(a)
	q, w := f.at(b)
	third := (b - a) / 3
	c1, c2 := [2]float64{p[0] + v[0]*third, p[1] + v[1]*third}, [2]float64{q[0] - w[0]*third, q[1] - w[1]*third}
	worst := 0.0
	for _, u := range [...]float64{0.2, 0.5, 0.8} {
		on := mix(mix(mix(p, c1, u), mix(c1, c2, u), u), mix(mix(c1, c2, u), mix(c2, q, u), u), u)
		is, _ := f.at(a + (b-a)*u)
		worst = max(worst, math.Hypot(on[0]-is[0], on[1]-is[1]))
	}
	if worst > splineFit && depth < mostHalvings {
		middle := (a + b) / 2
		f.stretch(c, a, middle, depth+1)
		f.stretch(c, middle, b, depth+1)
		return
	}
	c.Curve(nearest(c1), nearest(c2), nearest(q))
}

func nearest(p [2]float64) geometry.Position {
	return geometry.Position{Across: geometry.Length(math.Round(p[0])), Around: geometry.Length(math.Round(p[1]))}
}
