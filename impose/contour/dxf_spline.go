package contour

import (
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// spline adds a SPLINE as cubic curves: of degree 1 to 3 without weights exactly,
// any other within splineFit.
func (x *dxfPen) spline(r record) error {
	degree, err := r.number(71, 3)
	if err != nil {
		return err
	}
	s := curve{degree: int(degree)}
	if s.degree < 1 || s.degree > mostDegree {
		return refuse(r.line, "convert splines to polylines or arcs before the export", "the SPLINE has the degree %g; 1 to %d are read", degree, mostDegree)
	}
	for _, t := range r.tags {
		switch t.code {
		case 40, 41, 10, 20:
		default:
			continue
		}
		v, err := t.number(r.name)
		if err != nil {
			return err
		}
		switch {
		case t.code == 40:
			s.knots = append(s.knots, v)
		case t.code == 41:
			s.weights = append(s.weights, v)
		case t.code == 10:
			s.control = append(s.control, [2]float64{v, 0})
		case len(s.control) > 0:
			s.control[len(s.control)-1][1] = v
		}
	}
	if err := s.check(r); err != nil {
		return err
	}
	if s.degree > 3 || s.rational() {
		return x.fitted(r, s)
	}
	return x.beziers(r, s)
}

// curve is a B-spline.
type curve struct {
	degree  int
	knots   []float64
	weights []float64
	control [][2]float64
}

func (s *curve) check(r record) error {
	for _, w := range s.weights {
		if w <= 0 {
			return refuse(r.line, "convert splines to polylines or arcs before the export", "the SPLINE has the weight %g, which is not more than 0", w)
		}
	}
	if len(s.weights) > 0 && len(s.weights) != len(s.control) {
		return refuse(r.line, "the file is damaged: export it again", "the SPLINE has %d weights for %d control points", len(s.weights), len(s.control))
	}
	if len(s.control) <= s.degree || len(s.knots) != len(s.control)+s.degree+1 || !slices.IsSorted(s.knots) {
		return refuse(r.line, "the file is damaged or holds fit points only: convert splines to polylines before the export", "the SPLINE of degree %d has %d control points and %d knots in order or not; there must be degree + 1 knots more than points, rising",
			s.degree, len(s.control), len(s.knots))
	}
	return nil
}

// beziers adds one cubic curve for each stretch between two knots.
func (x *dxfPen) beziers(r record, s curve) error {
	var c outline.Contour
	for k := s.degree; k < len(s.control); k++ {
		a, b := s.knots[k], s.knots[k+1]
		if a == b {
			continue
		}
		// The control points of the stretch are the spline's blossom at a and b; the
		// lower degrees are raised to three.
		var q [4][2]float64
		switch s.degree {
		case 1:
			p0, p1 := s.blossom(k, a), s.blossom(k, b)
			q = [4][2]float64{p0, mix(p0, p1, 1.0/3), mix(p0, p1, 2.0/3), p1}
		case 2:
			p0, p1, p2 := s.blossom(k, a, a), s.blossom(k, a, b), s.blossom(k, b, b)
			q = [4][2]float64{p0, mix(p0, p1, 2.0/3), mix(p2, p1, 2.0/3), p2}
		case 3:
			q = [4][2]float64{s.blossom(k, a, a, a), s.blossom(k, a, a, b), s.blossom(k, a, b, b), s.blossom(k, b, b, b)}
		}
		var p [4]geometry.Position
		for i := range q {
			var err error
			if p[i], err = x.position(r, q[i][0], q[i][1]); err != nil {
				return err
			}
		}
		if len(c.Segments) == 0 {
			c.Start = p[0]
		}
		c.Curve(p[1], p[2], p[3])
	}
	if len(c.Segments) == 0 {
		x.drawing.skip(byName("SPLINE of no length"))
		return nil
	}
	return x.addContour(r, c, false)
}

// blossom returns the polar form of the stretch that begins at knot k (L. Ramshaw,
// Blossoms are polar forms, 1989): de Boor's scheme with an argument of its own
// in each round.
func (s *curve) blossom(k int, at ...float64) [2]float64 {
	d := slices.Clone(s.control[k-s.degree : k+1])
	for round, t := range at {
		for i := s.degree; i > round; i-- {
			d[i] = mix(d[i-1], d[i], s.share(k, i, round, t))
		}
	}
	return d[s.degree]
}

// share returns how far t lies between the knots that a round of the scheme mixes.
func (s *curve) share(k, i, round int, t float64) float64 {
	lo, hi := s.knots[k-s.degree+i], s.knots[k+i-round]
	return (t - lo) / (hi - lo)
}

func mix(a, b [2]float64, t float64) [2]float64 {
	return [2]float64{a[0] + (b[0]-a[0])*t, a[1] + (b[1]-a[1])*t}
}
