package outline

import (
	"fmt"
	"math"

	"quoin/geometry"
)

// quarter is the bulge of a quarter circle, tan(90/4 degrees) = sqrt(2) - 1.
const quarter = math.Sqrt2 - 1

// Rectangle returns a rectangle of the size with rounded corners, its leading
// left corner at the origin. The radius is at most half the shorter side.
func Rectangle(size geometry.Size, radius geometry.Length) (Outline, error) {
	w, h := size.Across, size.Around
	if err := sides(size); err != nil {
		return Outline{}, err
	}
	if radius < 0 || 2*radius > min(w, h) {
		return Outline{}, fmt.Errorf("a corner radius of %s does not fit a rectangle of %s; 0mm to %s do", radius, size, min(w, h)/2)
	}
	p := func(across, around geometry.Length) geometry.Position {
		return geometry.Position{Across: across, Around: around}
	}
	c := Contour{Start: p(radius, 0)}
	side := func(straight, corner geometry.Position) {
		if straight != c.end() {
			c.Line(straight)
		}
		if radius > 0 {
			c.Arc(corner, quarter)
		}
	}
	side(p(w-radius, 0), p(w, radius))
	side(p(w, h-radius), p(w-radius, h))
	side(p(radius, h), p(0, h-radius))
	side(p(0, radius), p(radius, 0))
	return must(c), nil
}

// Circle returns a circle in the box of diameter x diameter at the origin.
func Circle(diameter geometry.Length) (Outline, error) {
	if err := sides(geometry.Size{Across: diameter, Around: diameter}); err != nil {
		return Outline{}, err
	}
	// From the left to the right end of the diameter and back: the centre of a
	// half circle is the middle of its ends, so odd diameters are exact but for
	// the half nanometre by which the circle is out of its box.
	left := geometry.Position{Across: 0, Around: diameter / 2}
	right := geometry.Position{Across: diameter, Around: diameter / 2}
	c := Contour{Start: left}
	c.Arc(right, 1)
	c.Arc(left, 1)
	return must(c), nil
}

// ellipseCurves is the number of cubic curves that an ellipse is made of. One
// that spans the angle v is off the circle by 2/27 sin^6(v/4)/cos^2(v/4) of the
// radius: for 16 of them 6.7e-8, which is 7 nm for an ellipse of 200 mm.
const ellipseCurves = 16

// Ellipse returns the ellipse that touches the sides of the box of the size at
// the origin.
func Ellipse(size geometry.Size) (Outline, error) {
	if err := sides(size); err != nil {
		return Outline{}, err
	}
	if size.Across == size.Around {
		return Circle(size.Across)
	}
	c := vec{float64(size.Across) / 2, float64(size.Around) / 2}
	return must(EllipseArc(c.x, c.y, c.x, 0, 0, c.y, 0, 2*math.Pi)), nil
}

// EllipseArc returns the piece of the ellipse centre + u cos t + v sin t for t
// from..to as cubic curves; all but the angles in nanometres. The contour is
// open unless the angles are a full turn apart.
func EllipseArc(centreX, centreY, ux, uy, vx, vy, from, to float64) Contour {
	n := max(1, int(math.Ceil(math.Abs(to-from)/(2*math.Pi)*ellipseCurves-1e-9)))
	step := (to - from) / float64(n)
	k := 4.0 / 3 * math.Tan(step/4)
	point := func(t float64) (p, tangent vec) {
		sin, cos := math.Sincos(t)
		return vec{centreX + ux*cos + vx*sin, centreY + uy*cos + vy*sin}, vec{vx*cos - ux*sin, vy*cos - uy*sin}
	}
	p, d := point(from)
	c := Contour{Start: nearest(p)}
	full := math.Abs(math.Abs(to-from)-2*math.Pi) < 1e-9
	for i := 1; i <= n; i++ {
		q, e := point(from + step*float64(i))
		end := nearest(q)
		if i == n && full {
			end = c.Start
		}
		c.Curve(nearest(p.plus(d.times(k))), nearest(q.minus(e.times(k))), end)
		p, d = q, e
	}
	return c
}

func sides(s geometry.Size) error {
	if s.Across <= 0 || s.Around <= 0 || max(s.Across, s.Around) > Reach {
		return fmt.Errorf("an outline of %s is impossible: both sides are more than 0 and at most %s", s, Reach)
	}
	return nil
}
