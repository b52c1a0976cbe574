package gang

import "math"

// placesLeft is how far the places of a target were looked at.
type placesLeft struct {
	n, left, place, step int64
	open                 bool // some place could be neither used nor refuted
}

// mostSwept is the greatest number of length vectors of one target.
const mostSwept = 1 << 40

// wide is how many lengths the run of rank k, from 0, can have in a target.
func (s *sweep) wide(k int, sum int64) int64 { return sum/int64(k+1) - s.c.least + 1 }

// size is the number of places of a target: the lengths but the first, each at
// most as long as a run of its rank can be. 0 where they are too many.
func (s *sweep) size(sum int64) int64 {
	n := int64(1)
	for k := 1; k < s.t; k++ {
		wide := s.wide(k, sum)
		if wide <= 0 {
			return 0
		}
		if n > mostSwept/wide {
			return 0
		}
		n *= wide
	}
	return n
}

// places returns where to go on with a target. The step from place to place meets
// each once and spreads the first ones evenly: it is near the golden section of
// their number and has no divisor in common with it.
func (s *sweep) places(sum int64) *placesLeft {
	p := s.begun[sum]
	if p == nil {
		n := s.size(sum)
		p = &placesLeft{n: n, left: n, step: int64(float64(n)*(math.Sqrt(5)-1)/2) | 1, open: n == 0}
		for n > 0 && gcd(p.step, n) != 1 {
			p.step++
		}
		s.begun[sum] = p
	}
	return p
}

// lengths sets the lengths of a place; false when they are not sorted, which
// another place stands for.
func (s *sweep) lengths(place, sum int64) bool {
	r := s.r
	r[0] = sum
	for k := s.t - 1; k > 0; k-- {
		wide := s.wide(k, sum)
		r[k] = s.c.least + place%wide
		place /= wide
		if k+1 < s.t && r[k] < r[k+1] {
			return false
		}
		r[0] -= r[k]
	}
	return r[0] >= r[1]
}
