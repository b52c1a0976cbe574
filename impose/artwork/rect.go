package artwork

import "math"

// Rect is a rectangle in PDF's space: left, bottom, right, top.
type Rect [4]float64

// Width returns the extent in x.
func (r Rect) Width() float64 { return r[2] - r[0] }

// Height returns the extent in y.
func (r Rect) Height() float64 { return r[3] - r[1] }

// Empty reports whether the rectangle holds no area.
func (r Rect) Empty() bool { return !(r[2] > r[0] && r[3] > r[1]) }

// Intersect returns what both rectangles cover; it may be Empty.
func (r Rect) Intersect(s Rect) Rect {
	return Rect{max(r[0], s[0]), max(r[1], s[1]), min(r[2], s[2]), min(r[3], s[3])}
}

// Contains reports whether s lies in r, give or take the tolerance.
func (r Rect) Contains(s Rect, tolerance float64) bool {
	return s[0] >= r[0]-tolerance && s[1] >= r[1]-tolerance && s[2] <= r[2]+tolerance && s[3] <= r[3]+tolerance
}

// meets reports whether the rectangles share a point; a line without width
// meets what it touches, and what an intersection left nothing of, nothing.
func (r Rect) meets(s Rect) bool {
	return r[0] <= r[2] && r[1] <= r[3] && s[0] <= s[2] && s[1] <= s[3] && r[0] <= s[2] && s[0] <= r[2] && r[1] <= s[3] && s[1] <= r[3]
}

// overlaps reports whether they share any area.
func (r Rect) overlaps(s Rect) bool { return !r.Intersect(s).Empty() }

// Outset returns the rectangle grown on every side.
func (r Rect) Outset(d float64) Rect { return Rect{r[0] - d, r[1] - d, r[2] + d, r[3] + d} }

// nothing is the rectangle to which points are added.
var nothing = Rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

// everywhere meets everything.
var everywhere = Rect{math.Inf(-1), math.Inf(-1), math.Inf(1), math.Inf(1)}

// with returns the least rectangle over r and a point.
func (r Rect) with(x, y float64) Rect {
	return Rect{min(r[0], x), min(r[1], y), max(r[2], x), max(r[3], y)}
}

// Matrix is a PDF transformation [a b c d e f], 8.3.4.
type Matrix [6]float64

// identity changes nothing.
var identity = Matrix{1, 0, 0, 1, 0, 0}

// Then returns the transformation that does m first and n after it.
func (m Matrix) Then(n Matrix) Matrix {
	return Matrix{
		m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3],
		m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3],
		m[4]*n[0] + m[5]*n[2] + n[4], m[4]*n[1] + m[5]*n[3] + n[5],
	}
}

// Apply transforms a point.
func (m Matrix) Apply(x, y float64) (float64, float64) {
	return m[0]*x + m[2]*y + m[4], m[1]*x + m[3]*y + m[5]
}

// Bounds returns the upright rectangle around the transformed r.
func (m Matrix) Bounds(r Rect) Rect {
	out := nothing
	for _, x := range [2]float64{r[0], r[2]} {
		for _, y := range [2]float64{r[1], r[3]} {
			px, py := m.Apply(x, y)
			out = out.with(px, py)
		}
	}
	return out
}

// scale returns the largest factor by which the matrix stretches a length.
func (m Matrix) scale() float64 {
	return max(math.Hypot(m[0], m[1]), math.Hypot(m[2], m[3])) // no more than this times the square root of 2
}

// inverse returns the matrix that undoes m; ok is false where none does.
func (m Matrix) inverse() (inv Matrix, ok bool) {
	d := m[0]*m[3] - m[1]*m[2]
	inv = Matrix{m[3] / d, -m[1] / d, -m[2] / d, m[0] / d, (m[2]*m[5] - m[3]*m[4]) / d, (m[1]*m[4] - m[0]*m[5]) / d}
	return inv, d != 0 && inv.finite()
}
