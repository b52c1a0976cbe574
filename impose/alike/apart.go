package alike

// mostTried bounds the orders that are tried: those of eight labels are 40,320.
const mostTried = 50_000

// Apart returns an order of n labels that stand one beside the other, each given
// by its place before, in which the fewest look-alikes are neighbours, and of such
// orders the first in the order of places: where none are neighbours as they
// stand, nothing moves. Labels move within their kind only, such as lanes of one
// width, whose sequence stays.
func Apart(n int, pairs []Pair, kind func(int) int) []int {
	alike := make([][]bool, n)
	for i := range alike {
		alike[i] = make([]bool, n)
	}
	for _, p := range pairs {
		alike[p.A][p.B], alike[p.B][p.A] = true, true
	}
	s := search{alike: alike, kind: kind, used: make([]bool, n), least: n + 1}
	s.try(nil, 0)
	return s.best
}

// search goes through the orders, depth first.
type search struct {
	alike [][]bool
	kind  func(int) int
	used  []bool
	best  []int
	least int // neighbours of the best
	tried int
}

func (s *search) try(order []int, bad int) {
	if bad >= s.least || s.tried > mostTried {
		return
	}
	at := len(order)
	if at == len(s.used) {
		s.best, s.least = append([]int(nil), order...), bad
		return
	}
	s.tried++
	for i := range s.used {
		if s.used[i] || s.kind(i) != s.kind(at) {
			continue
		}
		more := bad
		if at > 0 && s.alike[order[at-1]][i] {
			more++
		}
		s.used[i] = true
		s.try(append(order, i), more)
		s.used[i] = false
	}
}
