package sorting

import "slices"

// oneRun returns the cheapest plan of one run; its cost is never where there is none,
// or it isn't below a cost.
func (p *Problem) oneRun(below int64) Plan {
	best := Plan{Cost: below}
	if int64(len(p.Needs)) > p.Places {
		return Plan{Cost: never}
	}
	for _, length := range p.lengths() {
		cost := p.Frame*length + p.Run
		if cost >= best.Cost {
			break
		}
		if places, sorted, ok := p.placed(p.Needs, length, (best.Cost-cost-1)/max(p.Sort*length, 1)); ok {
			best = Plan{[]Run{{length, places}}, cost + p.Sort*length*sorted}
		}
	}
	if best.Runs == nil {
		best.Cost = never
	}
	return best
}

// lengths lists those at which some order needs a place less, from the least that all
// labels need. Between two of them the same places would do at less.
func (p *Problem) lengths() []int64 {
	least := max(p.Least, p.volume())
	out := []int64{least}
	for _, n := range p.Needs {
		for places := int64(1); places <= p.Places; places++ {
			length := ceilDiv(n, places)
			if length < least {
				break
			}
			out = append(out, length)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// placed gives each order of a run the places that it needs, or whole lanes, so that the
// fewest are sorted; ok is false where there is no room, or more than so many are.
func (p *Problem) placed(needs []int64, length, most int64) (places []int64, sorted int64, ok bool) {
	room := p.Places
	for _, n := range needs {
		x := ceilDiv(max(n, 0), length)
		places, room, sorted = append(places, x), room-x, sorted+p.sorted(x)
	}
	if room < 0 {
		return nil, 0, false
	}
	// What is left of the room goes to orders that fill their lanes with it.
	spared := make([]int64, room+1)
	filled := make([][]bool, len(places))
	for i, x := range places {
		gap := p.whole(x) - x
		filled[i] = make([]bool, room+1)
		for j := room; gap > 0 && j >= gap; j-- {
			if v := spared[j-gap] + p.sorted(x); v > spared[j] {
				spared[j], filled[i][j] = v, true
			}
		}
	}
	if sorted -= spared[room]; sorted > most {
		return nil, 0, false
	}
	for i := len(places) - 1; i >= 0; i-- {
		if filled[i][room] {
			gap := p.whole(places[i]) - places[i]
			places[i], room = places[i]+gap, room-gap
		}
	}
	return places, sorted, true
}
