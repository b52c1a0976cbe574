package choose

import "slices"

// whole adds to orders those that stay with them, and returns them rising.
func (p *Problem) whole(orders []int) []int {
	out := slices.Clone(orders)
	for again := true; again; {
		again = false
		for _, set := range p.Together {
			if !slices.ContainsFunc(set, func(i int) bool { return slices.Contains(out, i) }) {
				continue
			}
			for _, i := range set {
				if !slices.Contains(out, i) {
					out, again = append(out, i), true
				}
			}
		}
	}
	slices.Sort(out)
	return out
}

// gathered puts orders that stay together into the first cell that holds one of
// them. What a cell can't hold its price says.
func (p *Problem) gathered(cells []Cell) []Cell {
	if len(p.Together) == 0 {
		return cells
	}
	taken := map[int]bool{}
	var out []Cell
	for _, c := range cells {
		open := slices.DeleteFunc(slices.Clone(c.Orders), func(i int) bool { return taken[i] })
		all := slices.DeleteFunc(p.whole(open), func(i int) bool { return taken[i] })
		for _, i := range all {
			taken[i] = true
		}
		if len(all) > 0 {
			out = append(out, Cell{Bed: c.Bed, Orders: all})
		}
	}
	return out
}
