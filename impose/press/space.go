package press

import (
	"math"
	"strconv"

	"quoin/geometry"
	"quoin/impose/draw"
)

// page maps positions on the frame to points of the page.
type page struct{ repeat geometry.Length }

// xy is the one crossing from positions to PDF's user space, and the one place
// that flips y: around starts at the leading end, the top of the page.
func (p page) xy(at geometry.Position) (x, y float64) {
	return at.Across.Points(), (p.repeat - at.Around).Points()
}

// glyphXY is the crossing for a font's own space, whose units are the font's
// and whose y grows up from the baseline.
func glyphXY(at geometry.Position) (x, y float64) {
	return float64(at.Across), -float64(at.Around)
}

// BoxPoints returns a box of the frame in points of its page: left, bottom,
// right, top.
func BoxPoints(b geometry.Box, repeat geometry.Length) [4]float64 {
	p := page{repeat}
	x0, y1 := p.xy(b.Min)
	x1, y0 := p.xy(b.Max)
	return [4]float64{round(x0), round(y0), round(x1), round(y1)}
}

// matrix is a PDF transformation, [a b c d e f] of ISO 32000-1 8.3.3.
type matrix [6]float64

// placing returns the matrix that takes an upright trim box of w x h points at
// the origin to the middle of its station's trim, turned counter-clockwise.
func (p page) placing(at draw.Place, w, h float64) matrix {
	x0, y1 := p.xy(at.Trim.Min)
	x1, y0 := p.xy(at.Trim.Max)
	cx, cy := (x0+x1)/2, (y0+y1)/2
	switch at.Turn % 4 {
	case geometry.Turn90:
		return matrix{0, 1, -1, 0, cx + h/2, cy - w/2}
	case geometry.Turn180:
		return matrix{-1, 0, 0, -1, cx + w/2, cy + h/2}
	case geometry.Turn270:
		return matrix{0, -1, 1, 0, cx - h/2, cy + w/2}
	}
	return matrix{1, 0, 0, 1, cx - w/2, cy - h/2}
}

// round is the one rounding of every coordinate that is computed here, to a
// hundred-thousandth of a point: 3.5 nm, far below the micrometre that placing
// is held to.
func round(v float64) float64 {
	r := math.Round(v*1e5) / 1e5
	if r == 0 {
		return 0 // never -0
	}
	return r
}

// textMatrix returns the matrix that takes text whose em is one unit to its
// place: baseline along the turned line, origin at the text's first glyph.
func (p page) textMatrix(t *draw.Text) matrix {
	x, y := p.xy(t.At)
	a, d := t.Em.Across.Points(), t.Em.Around.Points()
	switch t.Turn % 4 {
	case geometry.Turn90:
		return matrix{0, a, -d, 0, x, y}
	case geometry.Turn180:
		return matrix{-a, 0, 0, -d, x, y}
	case geometry.Turn270:
		return matrix{0, -a, d, 0, x, y}
	}
	return matrix{a, 0, 0, d, x, y}
}

// appendNumber writes a coordinate as the shortest decimal number.
func appendNumber(b []byte, v float64) []byte {
	n := math.Round(v * 1e5) // as round does
	if math.Abs(n) > 1e15 {
		return strconv.AppendFloat(b, round(v), 'f', -1, 64)
	}
	i := int64(n)
	if i < 0 {
		b, i = append(b, '-'), -i
	}
	b = strconv.AppendInt(b, i/100_000, 10)
	part := i % 100_000
	if part == 0 {
		return b
	}
	b = append(b, '.')
	for unit := int64(10_000); part > 0; unit /= 10 {
		b = append(b, byte('0'+part/unit))
		part %= unit
	}
	return b
}
