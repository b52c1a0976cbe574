package choose

import "slices"

// trial is runs, and what is tried in the place of some of them until it is taken or not.
type trial struct {
	runs []laned
	of   [][]int // runs of each order
	cost float64

	now     int     // the number of what is tried
	instead []laned // by run
	turn    []int   // by run: when it was changed last
	seen    []int   // by run: when it was weighed last
	index   []int   // by run: its place among those that are weighed
	opened  []int   // runs that are changed
	before  []runsOf
}

// laned is a run with its lanes.
type laned struct {
	cast
	cost float64
}

// runsOf is in which runs an order was.
type runsOf struct {
	order int
	runs  []int
}

// reset begins a trial.
func (t *trial) reset() {
	t.now++
	t.opened, t.before = t.opened[:0], t.before[:0]
	t.grow()
}

// grow makes room for what is tried of each run.
func (t *trial) grow() {
	for len(t.instead) < len(t.runs) {
		t.instead, t.turn = append(t.instead, laned{}), append(t.turn, 0)
		t.seen, t.index = append(t.seen, 0), append(t.index, 0)
	}
}

// at returns a run as it is tried, to be read.
func (t *trial) at(k int) *laned {
	if t.turn[k] == t.now {
		return &t.instead[k]
	}
	return &t.runs[k]
}

// open returns a run as it is tried, to be changed.
func (t *trial) open(k int) *laned {
	x := &t.instead[k]
	if t.turn[k] != t.now {
		from := &t.runs[k]
		x.grade, x.r, x.parts, x.cost = from.grade, from.r, append(x.parts[:0], from.parts...), from.cost
		t.turn[k], t.opened = t.now, append(t.opened, k)
	}
	return x
}

// fresh returns the number of a new run without orders.
func (t *trial) fresh(grade int) int {
	k := len(t.runs)
	t.runs = append(t.runs, laned{cast: cast{grade: grade}})
	t.grow()
	return k
}

// leave takes an order out of a run.
func (t *trial) leave(order, k int) {
	t.note(order)
	x := t.open(k)
	at := x.place(order)
	x.parts = slices.Delete(x.parts, at, at+1)
	at = slices.Index(t.of[order], k)
	t.of[order] = slices.Delete(t.of[order], at, at+1)
}

// enter brings an order into a run where it is not.
func (t *trial) enter(order, k int) {
	t.note(order)
	x := t.open(k)
	x.parts = append(x.parts, part{int32(order), 1})
	t.of[order] = append(t.of[order], k)
}

// note remembers the runs of an order before they change.
func (t *trial) note(order int) {
	if slices.ContainsFunc(t.before, func(b runsOf) bool { return b.order == order }) {
		return
	}
	t.before = slices.Grow(t.before, 1)[:len(t.before)+1] // with the room that the next one had
	b := &t.before[len(t.before)-1]
	b.order, b.runs = order, append(b.runs[:0], t.of[order]...)
}

// accept takes what was tried.
func (t *trial) accept(more float64) {
	t.cost += more
	for _, k := range t.opened {
		t.runs[k], t.instead[k] = t.instead[k], t.runs[k]
	}
	for k := len(t.runs) - 1; k >= 0; k-- {
		if len(t.runs[k].parts) == 0 {
			t.drop(k)
		}
	}
	t.reset()
}

// drop removes a run that is empty.
func (t *trial) drop(k int) {
	last := len(t.runs) - 1
	if k != last {
		t.runs[k] = t.runs[last]
		for _, p := range t.runs[k].parts {
			of := t.of[p.at]
			of[slices.Index(of, last)] = k
		}
	}
	t.runs[last] = laned{}
	t.runs = t.runs[:last]
}

// reject forgets what was tried.
func (t *trial) reject() {
	for i := range t.before {
		b := &t.before[i]
		t.of[b.order] = append(t.of[b.order][:0], b.runs...)
	}
	if last := len(t.runs) - 1; len(t.runs[last].parts) == 0 {
		t.drop(last)
	}
	t.reset()
}

// has reports whether an order is in a run.
func (t *trial) has(order, k int) bool { return slices.Contains(t.of[order], k) }

// stands reports whether a run shares no order with another.
func (t *trial) stands(k int) bool {
	for _, p := range t.at(k).parts {
		if len(t.of[p.at]) > 1 {
			return false
		}
	}
	return true
}
