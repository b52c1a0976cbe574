package artwork

import (
	"math"

	"quoin/geometry"
)

// Sides are the four sides of a page as seen upright.
type Sides struct{ Left, Right, Top, Bottom geometry.Length }

// Size returns the trim as seen upright: Rotate and UserUnit are baked in, and
// across is the width.
func (p *Page) Size() geometry.Size { return p.sizeOf(p.Boxes.Trim) }

// MediaSize is Size for the media box.
func (p *Page) MediaSize() geometry.Size { return p.sizeOf(p.Boxes.Media) }

func (p *Page) sizeOf(r Rect) geometry.Size {
	s := geometry.Size{Across: p.length(r.Width()), Around: p.length(r.Height())}
	if p.Rotate%180 != 0 {
		s.Across, s.Around = s.Around, s.Across
	}
	return s
}

// length turns user space units into a length, to the nanometre. A size that
// was rounded to thousandths of a point on its way into the file is taken for
// the hundredth of a millimetre that it was, if it lies as near to one as that
// rounding can explain: 141.732 pt is 50 mm, and 500 pt is 176.388889 mm.
func (p *Page) length(units float64) geometry.Length {
	points := units * p.UserUnit
	exact := points * float64(geometry.Inch) / geometry.PointsPerInch
	tenths := points * 10
	if meant := math.Round(exact/meantGrid) * meantGrid; math.Abs(tenths-math.Round(tenths)) > 1e-6 && math.Abs(exact-meant) <= meantSlack {
		return geometry.Length(meant)
	}
	return geometry.Length(math.Round(exact))
}

// meantSlack is 0.001 pt: two edges, each rounded by half of that.
const (
	meantGrid  = float64(10 * geometry.Micrometre)
	meantSlack = 0.001 * float64(geometry.Inch) / geometry.PointsPerInch
)

// Bleed returns how far the bleed box reaches beyond the trim on each side, as
// seen upright; never negative. It says nothing of whether there is any
// artwork there.
func (p *Page) Bleed() Sides {
	t, b := p.Boxes.Trim, p.Boxes.Bleed
	// Clockwise from the left as the page lies in its own space.
	around := [4]float64{t[0] - b[0], b[3] - t[3], b[2] - t[2], t[1] - b[1]}
	turn := p.Rotate / 90
	at := func(side int) geometry.Length {
		// Turned clockwise by 90 degrees, what was at the bottom is at the left.
		return max(0, p.length(around[(side-turn+4)%4]))
	}
	return Sides{Left: at(0), Top: at(1), Right: at(2), Bottom: at(3)}
}

// FormMatrix maps the page's default user space to upright space in points,
// with the lower left corner of the trim at 0,0: Rotate, UserUnit and the
// origin of the boxes are baked in. It is the Matrix of a form XObject that
// shows the page.
func (p *Page) FormMatrix() Matrix {
	t, u := p.Boxes.Trim, p.UserUnit
	var m Matrix
	switch p.Rotate {
	case 90:
		m = Matrix{0, -1, 1, 0, -t[1], t[2]}
	case 180:
		m = Matrix{-1, 0, 0, -1, t[2], t[3]}
	case 270:
		m = Matrix{0, 1, -1, 0, t[3], -t[0]}
	default:
		m = Matrix{1, 0, 0, 1, -t[0], -t[1]}
	}
	for i := range m {
		m[i] = m[i]*u + 0 // no negative zero
	}
	return m
}

// finite reports whether every number is one.
func (m Matrix) finite() bool {
	for _, v := range m {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// at returns the side with this name.
func (s Sides) at(side string) geometry.Length {
	switch side {
	case "left":
		return s.Left
	case "right":
		return s.Right
	case "top":
		return s.Top
	}
	return s.Bottom
}
