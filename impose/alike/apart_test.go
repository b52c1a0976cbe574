package alike

import (
	"fmt"
	"testing"
)

// TestApart: look-alikes stand apart where the others allow it, and nothing moves
// without need.
func TestApart(t *testing.T) {
	one := func(int) int { return 0 }
	for name, c := range map[string]struct {
		n     int
		pairs []Pair
		kind  func(int) int
		want  string
	}{
		"none alike":        {4, nil, one, "[0 1 2 3]"},
		"apart already":     {3, []Pair{{A: 0, B: 2}}, one, "[0 1 2]"},
		"a third between":   {3, []Pair{{A: 0, B: 1}}, one, "[0 2 1]"},
		"only two":          {2, []Pair{{A: 0, B: 1}}, one, "[0 1]"},
		"all alike":         {3, []Pair{{A: 0, B: 1}, {A: 0, B: 2}, {A: 1, B: 2}}, one, "[0 1 2]"},
		"a chain":           {4, []Pair{{A: 0, B: 1}, {A: 1, B: 2}, {A: 2, B: 3}}, one, "[1 3 0 2]"},
		"within its width":  {3, []Pair{{A: 0, B: 1}}, func(i int) int { return i / 2 }, "[0 1 2]"},
		"widths that allow": {4, []Pair{{A: 1, B: 2}}, func(i int) int { return i / 2 }, "[0 1 3 2]"},
	} {
		if got := fmt.Sprint(Apart(c.n, c.pairs, c.kind)); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
	var pairs []Pair
	for i := range 40 {
		for k := range i {
			if (i+k)%3 == 0 {
				pairs = append(pairs, Pair{A: k, B: i})
			}
		}
	}
	seen := map[int]bool{}
	for _, i := range Apart(40, pairs, one) {
		seen[i] = true
	}
	if len(seen) != 40 {
		t.Errorf("of 40 labels %d are left", len(seen))
	}
}
