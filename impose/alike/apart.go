package alike

import (
	"math"
	"slices"
)

// mostTried bounds the orders that are tried: with all their beginnings, those of
// eight labels are 109,601.
const mostTried = 200_000

// Apart returns an order of n labels that stand one beside the other, each given
// by its place before, in which the fewest look-alikes are neighbours; where some
// must be, those that differ most. Of such orders it is the first in the order of
// places: where none is better than how they stand, nothing moves. Labels move
// within their kind only, such as lanes of one width, whose sequence stays.
func Apart(n int, pairs []Pair, kind func(int) int) []int {
	s := search{alike: make([][]int, n), kind: make([]int, n), used: make([]bool, n), best: make([]int, n)}
	for i := range n {
		s.alike[i], s.kind[i], s.best[i] = make([]int, n), kind(i), i
	}
	for _, p := range pairs {
		s.alike[p.A][p.B], s.alike[p.B][p.A] = p.said(), p.said()
	}
	if s.least = s.touching(s.best); len(s.least) > 0 {
		s.swap()
		s.try(make([]int, 0, n), nil)
	}
	return s.best
}

// said is by how much two labels differ as people are told: in hundredths of a per
// cent, and never not at all. What differs by less moves no lane.
func (p *Pair) said() int { return max(1, int(math.Round(100*p.Percent))) }

// touch is what look-alikes differ by that are neighbours, the least first.
type touch []int

// compare returns a negative number where t is better than another: where fewer are
// neighbours, or those that are easiest taken for each other differ more.
func (t touch) compare(o touch) int {
	if len(t) != len(o) {
		return len(t) - len(o)
	}
	return slices.Compare(o, t)
}

// and returns t with two more neighbours that differ by so much, unless they are no
// look-alikes.
func (t touch) and(difference int) touch {
	if difference == 0 {
		return t
	}
	at, _ := slices.BinarySearch(t, difference)
	return slices.Insert(slices.Clone(t), at, difference)
}

// search goes through the orders.
type search struct {
	alike [][]int // what look-alikes differ by; 0: they are none
	kind  []int
	used  []bool
	best  []int
	least touch // neighbours of the best
	found bool  // the best is the first of its like
	tried int
}

// touching returns the neighbours of an order.
func (s *search) touching(order []int) touch {
	var t touch
	for i := 1; i < len(order); i++ {
		if d := s.alike[order[i-1]][order[i]]; d > 0 {
			t = append(t, d)
		}
	}
	slices.Sort(t)
	return t
}

// swap exchanges two labels of the best order as long as that makes it better, so
// that many labels, whose orders can't all be tried, are parted too.
func (s *search) swap() {
	order := slices.Clone(s.best)
	for better := true; better; {
		better = false
		for i := range order {
			for k := range i {
				if s.kind[i] != s.kind[k] {
					continue
				}
				order[i], order[k] = order[k], order[i]
				if t := s.touching(order); t.compare(s.least) < 0 {
					s.best, s.least, better = slices.Clone(order), t, true
				} else {
					order[i], order[k] = order[k], order[i]
				}
			}
		}
	}
}

// try goes on from the beginning of an order, depth first. The first that is as good
// as the best takes its place, and from then on what is better.
func (s *search) try(order []int, t touch) {
	at := len(order)
	if s.tried++; s.tried > mostTried || len(t) > len(s.least) {
		return
	}
	if c := t.compare(s.least); len(t) == len(s.least) && (c > 0 || c == 0 && s.found) {
		return
	}
	if at == len(s.used) {
		s.best, s.least, s.found = slices.Clone(order), t, true
		return
	}
	for i := range s.used {
		if s.used[i] || s.kind[i] != s.kind[at] {
			continue
		}
		more := t
		if at > 0 {
			more = t.and(s.alike[order[at-1]][i])
		}
		s.used[i] = true
		s.try(append(order, i), more)
		s.used[i] = false
	}
}
