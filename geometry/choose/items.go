package choose

import "slices"

// items are the orders of a task and pieces that they are cut into. All pieces of an
// order are on one grade.
type items struct {
	t      *task   // with an order for each item, and some that nothing is of
	whole  *task   // the orders
	owner  []int   // of each item
	pieces [][]int // of each order
	free   []int   // items that nothing is of
}

// newItems begins with all orders whole.
func newItems(t *task) *items {
	n := len(t.id)
	m := 2*n + 2
	w := *t
	w.id, w.need = make([]int, m), nil
	copy(w.id, t.id)
	for _, need := range t.need {
		w.need = append(w.need, append(slices.Clone(need), make([]int64, m-n)...))
	}
	x := &items{t: &w, whole: t, owner: append(upTo(n), make([]int, m-n)...)}
	for i := range n {
		x.pieces = append(x.pieces, []int{i})
	}
	for i := n; i < m; i++ {
		x.free = append(x.free, i)
	}
	return x
}

// clone returns what casts needs.
func (x *items) clone() *items {
	w := *x.t
	w.id, w.need = slices.Clone(w.id), nil
	for _, need := range x.t.need {
		w.need = append(w.need, slices.Clone(need))
	}
	return &items{t: &w, whole: x.whole, owner: slices.Clone(x.owner)}
}

// casts returns the runs of sets of items.
func (x *items) casts(sets [][]int, work *int64) []cast {
	var out []cast
	for _, s := range sets {
		c, _ := x.t.together(s, work)
		parts := c.parts[:0:0]
		for _, p := range c.parts {
			p.at = int32(x.owner[p.at])
			if at := slices.IndexFunc(parts, func(q part) bool { return q.at == p.at }); at >= 0 {
				parts[at].lanes += p.lanes
				continue
			}
			parts = append(parts, p)
		}
		c.parts = parts
		out = append(out, c)
	}
	return out
}

// next returns the item that a new piece of an order takes; false where none is free.
func (x *items) next(order int) (int, bool) {
	if len(x.free) == 0 {
		return 0, false
	}
	i := x.free[len(x.free)-1]
	x.owner[i], x.t.id[i] = order, x.whole.id[order]
	return i, true
}

// cut notes that an order has one piece more, the next.
func (x *items) cut(order int) {
	last := len(x.free) - 1
	x.pieces[order], x.free = append(x.pieces[order], x.free[last]), x.free[:last]
}

// join notes that an order has one piece less.
func (x *items) join(order, i int) {
	x.pieces[order], x.free = without(x.pieces[order], i), append(x.free, i)
}

// set makes an item so much of its order, on one grade; where k is spared, all of it on
// any.
func (x *items) set(i, k int, need int64) {
	for g := range x.t.need {
		switch {
		case k == spared:
			x.t.need[g][i] = x.whole.need[g][x.owner[i]]
		case g == k:
			x.t.need[g][i] = need
		default:
			x.t.need[g][i] = 0
		}
	}
}
