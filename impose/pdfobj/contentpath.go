package pdfobj

import "math"

// Path is what operators have built of a path (8.5.2): only how far it reaches. The
// points that lead curves count as its own.
type Path struct {
	Operators int // m, l, c, v, y and h
	Parts     int // m

	least, most [2]int64 // x and y, see order
	points      bool
}

// pathNumbers has one more than the numbers that each operator takes.
var pathNumbers = [256]uint8{'m': 3, 'l': 3, 'v': 5, 'y': 5, 'c': 7, 'h': 1}

// maxBuilt bounds how many operators come together.
const maxBuilt = 4096

// addSegment notes an operator of one letter, if it is one of a path and the n numbers are as
// many as it takes.
func (p *Path) addSegment(letter byte, q *quickNumbers, n int) bool {
	if int(pathNumbers[letter]) != n+1 || p.Operators >= maxBuilt {
		return false
	}
	p.Operators++
	if letter == 'm' {
		p.Parts++
	}
	if n > 0 && !p.points {
		p.points = true
		x, y := order(q.values[0]), order(q.values[1])
		p.least, p.most = [2]int64{x, y}, [2]int64{x, y}
	}
	for i := 0; i < n; i += 2 {
		x, y := order(q.values[i&(mostQuick-1)]), order(q.values[(i+1)&(mostQuick-1)])
		p.least[0], p.most[0] = min(p.least[0], x), max(p.most[0], x)
		p.least[1], p.most[1] = min(p.least[1], y), max(p.most[1], y)
	}
	return true
}

// Box returns the corners of the least rectangle that the points lie in; false where
// there are none.
func (p *Path) Box() (left, bottom, right, top float64, ok bool) {
	return disorder(p.least[0]), disorder(p.least[1]), disorder(p.most[0]), disorder(p.most[1]), p.points
}

// order returns whole numbers that are in the order of the numbers, which a processor
// compares faster.
func order(v float64) int64 {
	b := int64(math.Float64bits(v))
	return b ^ int64(uint64(b>>63)>>1)
}

// disorder undoes order.
func disorder(b int64) float64 { return math.Float64frombits(uint64(b ^ int64(uint64(b>>63)>>1))) }
