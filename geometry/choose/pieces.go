package choose

// mostPieces is of how many pieces an order is cut to at most.
const mostPieces = 3

// cut moves as much of an order from one run to another as its lanes there make beside
// the orders that are in it; all of it where way is the last, or where they make that.
func (a *annealing) cut(i, to, way int) {
	order := a.owner[i]
	list := a.pieces[order]
	if len(list) > 1 && (way == ways-1 || a.rng.IntN(2) == 0) {
		to = a.of[a.piece(order)] // where another piece of it is
	}
	from, k := a.of[i], a.on[to]
	all := a.t.need[k][i]
	if from == to || all == 0 {
		return
	}
	j := -1 // the piece that is there
	a.b = a.b[:0]
	for _, m := range a.sets[to] {
		if a.owner[m] != order || j >= 0 {
			a.b = append(a.b, m)
			continue
		}
		j = m
		all += a.t.need[k][m]
	}
	moved := all
	if way < ways-1 {
		lanes := int64(1 + a.rng.IntN(4)/3)
		g := &a.t.grades[k]
		if len(a.b) == 0 || int64(len(a.b))+lanes > g.capacity {
			return
		}
		*a.work += int64(4 * len(a.b))
		moved = min(all, lanes*shortest(a.t.need[k], a.b, g.capacity-lanes, g.least))
	}
	if j < 0 && (moved == all || len(list) == mostPieces) {
		return
	}
	a.parted(i, j, to, moved, all-moved)
}

// parted tries so much of an order in each of two runs: as items i, and j or, where that
// is below 0, a new one.
func (a *annealing) parted(i, j, to int, moved, left int64) {
	order, from, k := a.owner[i], a.of[i], a.on[to]
	fresh, single := j < 0, len(a.pieces[order]) == 1
	if fresh {
		next, ok := a.next(order)
		if !ok {
			return
		}
		j = next
	}
	had, has := a.t.need[k][i], a.t.need[k][j]
	a.a = append(a.a[:0], a.sets[from]...)
	if left == 0 {
		a.a = without(a.a, i)
	}
	a.b = append(a.b, j)
	a.set(i, k, left)
	if a.set(j, k, moved); left == 0 && len(a.pieces[order]) == 2 {
		a.set(j, spared, 0)
	}
	switch taken := a.weigh(from, to); {
	case taken && fresh:
		a.items.cut(order)
	case taken && left == 0:
		a.join(order, i)
	case taken:
	case single:
		a.set(i, spared, 0)
	default:
		a.set(i, k, had)
		if !fresh {
			a.set(j, k, has)
		}
	}
}

// begin states known runs as sets; false where their orders are in too many pieces. What
// a piece makes beyond the need of its order is left out.
func (a *annealing) begin(known []cast) bool {
	runs, left := make([]int, len(a.pieces)), make([]int64, len(a.pieces))
	for k := range known {
		for _, p := range known[k].parts {
			runs[p.at]++
			left[p.at] = a.whole.need[known[k].grade][p.at]
		}
	}
	for k := range known {
		c := &known[k]
		var set []int
		for _, p := range c.parts {
			order := int(p.at)
			all := a.whole.need[c.grade][order]
			made := min(left[order], int64(p.lanes)*c.r)
			if runs[order]--; runs[order] == 0 { // the last makes what is left
				made = left[order]
			}
			if made == 0 {
				continue
			}
			item := order
			if left[order] < all {
				next, ok := a.next(order)
				if !ok {
					return false
				}
				item = next
				a.items.cut(order)
			}
			if made < all {
				a.set(item, c.grade, made)
			}
			left[order] -= made
			a.of[item] = len(a.sets)
			set = append(set, item)
		}
		if len(set) > 0 {
			a.sets = append(a.sets, set)
		}
	}
	return true
}
