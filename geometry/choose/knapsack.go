package choose

import "math"

// pick is lanes of an order that are worth the same.
type pick struct {
	worth     float64
	at, lanes int32
}

// fill finds the lanes of a run of length r that are worth most beside what they
// cost at least at lengths from low to high, into picks. Where that is not above
// enough it may return a little more than they are worth, and picks say nothing.
//
// An order that a lane makes whole is worth the same whatever else is in the run,
// so of those the best are taken. One that takes more lanes is worth more when it
// is whole, which makes all of those a knapsack of the few lanes of a run.
func (m *master) fill(g *grade, r, low, high int64, enough float64) float64 {
	m.work += int64(len(m.items))
	m.fills++
	m.picks, m.long, m.upper, m.each = m.picks[:0], m.long[:0], m.upper[:0], m.each[:0]
	if g.sort > 0 {
		return m.sorted.fill(m, g, r, low, enough)
	}
	room, worst := g.capacity, 0.0 // lanes left, and the least pick where none is
	for x := range m.items {
		it := &m.items[x]
		if it.d > r {
			m.long = append(m.long, x)
			continue
		}
		v := it.whole
		if room == 0 && v <= worst {
			continue
		}
		v -= m.laneCost(g, it.at, low, high)
		for range it.copies {
			if room == 0 && v <= worst {
				break
			}
			m.picks, room, worst = put(m.picks, pick{v, it.at, 1}, room, worst)
		}
	}
	if len(m.long) == 0 {
		return sum(m.picks)
	}
	// What each lane of a long order is worth at most, and all lanes together.
	m.upper = append(m.upper, m.picks...)
	top, topWorst := room, worst
	keep := m.long[:0]
	for _, x := range m.long {
		it := &m.items[x]
		if room == 0 && it.atMost(r)*(1+1e-12) <= worst { // which no lane of it is worth
			continue
		}
		v := it.lane(r, g.capacity)
		if room == 0 && v <= worst {
			continue
		}
		if v -= m.laneCost(g, it.at, low, high); room == 0 && v <= worst {
			continue
		}
		keep, m.each = append(keep, x), append(m.each, v)
		lanes := int32(min(g.capacity, (it.d+r-1)/r*int64(it.copies)))
		m.upper, top, topWorst = put(m.upper, pick{v, it.at, lanes}, top, topWorst)
	}
	if m.long = keep; len(keep) == 0 {
		return sum(m.picks)
	}
	most := sum(m.upper)
	if most <= enough {
		return most
	}
	rest := math.Inf(-1) // that runs with those left out are worth at most
	if top == 0 {
		keep = m.long[:0]
		for y, x := range m.long {
			if v := most - topWorst + m.each[y]; v <= enough {
				rest = math.Max(rest, v)
				continue
			}
			keep = append(keep, x)
		}
		if m.long = keep; len(keep) == 0 {
			return math.Max(rest, sum(m.picks))
		}
	}
	for _, x := range keep {
		for range min(m.items[x].copies, int(g.capacity)) - 1 {
			m.long = append(m.long, x)
		}
	}
	return math.Max(rest, m.knapsack(g, r, low, high))
}

// laneCost is what a lane of an order costs beside the run that is filled, at lengths from
// low to high at least.
func (m *master) laneCost(g *grade, at int32, low, high int64) float64 {
	if m.t.lane == nil {
		return 0
	}
	x := &m.reels[m.rollsOf[at]]
	if x.fill != m.fills {
		x.fill, x.cost = m.fills, m.t.lanes(g, int(at), low, high)
	}
	return x.cost
}

// atMost is what no lane in a run of length r that is shorter than the order is worth more
// than, of any number: it makes so many frames of it, or a part of the whole.
func (it *item) atMost(r int64) float64 {
	return float64(r)*max(it.frame, it.part) + 2*it.half
}

// lane is what each lane of several is worth at most, of so many in all, in a run of
// length r that is shorter than the order.
func (it *item) lane(r, lanes int64) float64 {
	n := (it.d + r - 1) / r
	most := it.worth(r)
	if n <= lanes {
		most = max(most, it.whole/float64(n))
	}
	if n > 1 { // of two lanes and more a rounded part is half a step more each at most
		most = max(most, it.frame*float64(r)+it.half)
	}
	return most
}

func sum(list []pick) (sum float64) {
	for _, p := range list {
		sum += p.worth * float64(p.lanes)
	}
	return sum
}

// put brings lanes in among picks, which fall in worth, and drops those for which
// there is no room. It returns them, the room left and the least worth where none is.
func put(list []pick, p pick, room int64, worst float64) ([]pick, int64, float64) {
	if p.worth <= 0 || room == 0 && p.worth <= worst {
		return list, room, worst
	}
	at := len(list)
	list = append(list, p)
	for ; at > 0 && list[at-1].worth < p.worth; at-- {
		list[at] = list[at-1]
	}
	list[at] = p
	room -= int64(p.lanes)
	for room < 0 {
		last := &list[len(list)-1]
		cut := min(int64(last.lanes), -room)
		room += cut
		if last.lanes -= int32(cut); last.lanes == 0 {
			list = list[:len(list)-1]
		}
	}
	if room == 0 {
		worst = list[len(list)-1].worth
	}
	return list, room, worst
}

// knapsack shares the lanes out between the picks and the long orders.
func (m *master) knapsack(g *grade, r, low, high int64) float64 {
	lanes := int(g.capacity)
	m.single = append(m.single[:0], 0) // what so many picks are worth
	for i := range lanes {
		v := m.single[i]
		if i < len(m.picks) {
			v += m.picks[i].worth
		}
		m.single = append(m.single, v)
	}
	size := (len(m.long) + 1) * (lanes + 1)
	if len(m.table) < size {
		m.table, m.took = make([]float64, size), make([]int32, size)
	}
	clear(m.table[:lanes+1])
	m.work += int64(len(m.long) * lanes * 2)
	for y, x := range m.long {
		it := &m.items[x]
		cost := m.laneCost(g, it.at, low, high)
		before, now := m.table[y*(lanes+1):(y+1)*(lanes+1)], m.table[(y+1)*(lanes+1):(y+2)*(lanes+1)]
		took := m.took[(y+1)*(lanes+1) : (y+2)*(lanes+1)]
		copy(now, before)
		clear(took)
		most := min(lanes, int((it.d+r-1)/r))
		for p := 1; p <= most; p++ {
			v := it.worth(int64(p)*r) - cost*float64(p)
			for j := p; j <= lanes; j++ {
				if w := before[j-p] + v; w > now[j] {
					now[j], took[j] = w, int32(p)
				}
			}
		}
	}
	last := m.table[len(m.long)*(lanes+1):]
	best, at := m.single[lanes], 0
	for j := range lanes + 1 {
		if v := last[j] + m.single[lanes-j]; v > best {
			best, at = v, j
		}
	}
	m.picks = m.picks[:min(len(m.picks), lanes-at)]
	for y := len(m.long); y > 0 && at > 0; y-- {
		if p := m.took[y*(lanes+1)+at]; p > 0 {
			m.picks = append(m.picks, pick{0, m.items[m.long[y-1]].at, p})
			at -= int(p)
		}
	}
	return best
}
