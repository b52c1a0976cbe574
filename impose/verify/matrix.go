package verify

import (
	"fmt"
	"math"

	"quoin/impose/say"
)

// matrix is a PDF transformation, [a b c d e f] of ISO 32000-1 8.3.3.
type matrix [6]float64

var identity = matrix{1, 0, 0, 1, 0, 0}

// then returns the matrix that applies m first and then n.
func (m matrix) then(n matrix) matrix {
	return matrix{
		m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3],
		m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3],
		m[4]*n[0] + m[5]*n[2] + n[4], m[4]*n[1] + m[5]*n[3] + n[5],
	}
}

func (m matrix) apply(p point) point {
	return point{m[0]*p.x + m[2]*p.y + m[4], m[1]*p.x + m[3]*p.y + m[5]}
}

type point struct{ x, y float64 }

// box is left, bottom, right, top.
type box [4]float64

// nowhere holds nothing.
var nowhere = box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

func (b box) including(p point) box {
	return box{min(b[0], p.x), min(b[1], p.y), max(b[2], p.x), max(b[3], p.y)}
}

func (b box) corners() [4]point {
	return [4]point{{b[0], b[1]}, {b[2], b[1]}, {b[2], b[3]}, {b[0], b[3]}}
}

func (b box) centre() point { return point{(b[0] + b[2]) / 2, (b[1] + b[3]) / 2} }

func (b box) empty() bool { return !(b[0] <= b[2] && b[1] <= b[3]) }

func (b box) outset(d float64) box { return box{b[0] - d, b[1] - d, b[2] + d, b[3] + d} }

func (b box) intersect(c box) box {
	return box{max(b[0], c[0]), max(b[1], c[1]), min(b[2], c[2]), min(b[3], c[3])}
}

// overlaps reports whether both share more than a seam of a micrometre.
func (b box) overlaps(c box) bool {
	i := b.intersect(c)
	return i[2]-i[0] > micrometre && i[3]-i[1] > micrometre
}

// crosses is overlaps for what may be a line without width.
func (b box) crosses(c box) bool { return b.outset(micrometre).overlaps(c.outset(-micrometre)) }

// near reports whether all four sides agree to a micrometre.
func (b box) near(c box) bool {
	for i := range b {
		if !(math.Abs(b[i]-c[i]) <= micrometre) {
			return false
		}
	}
	return true
}

// transformed returns the box around the transformed box.
func (b box) transformed(m matrix) box {
	out := nowhere
	for _, p := range b.corners() {
		out = out.including(m.apply(p))
	}
	return out
}

// at returns a box as people measure it on the frame: from the web's left edge and
// from the frame's leading end.
func (p *Expected) at(b box) string {
	top := p.Written.SizePt[1]
	return fmt.Sprintf("%s to %s mm across, %s to %s mm around", mm(b[0]), mm(b[2]), mm(top-b[3]), mm(top-b[1]))
}

const (
	pointsPerMM = 72 / 25.4
	// micrometre is what placement is held to, in points.
	micrometre = pointsPerMM / 1000
)

// mm writes points as millimetres.
func mm(points float64) string { return say.Digits(points / pointsPerMM) }

// um writes points as micrometres.
func um(points float64) string { return say.Fixed(points/micrometre, 1) + " um" }
