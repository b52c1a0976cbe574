package choose

import "slices"

// trial is what is tried in the place of some runs, until it is taken or not.
type trial struct {
	now     int     // its number
	instead []laned // by run
	turn    []int   // by run: the trial that changed it last
	opened  []int   // runs that it changes
	before  []runsOf
}

// runsOf is in which runs an order was.
type runsOf struct {
	order int
	runs  []int
}

// reset begins a trial.
func (l *linked) reset() {
	l.now++
	l.opened, l.before = l.opened[:0], l.before[:0]
	l.grow()
}

// grow makes room for what is tried of each run.
func (l *linked) grow() {
	for len(l.instead) < len(l.runs) {
		l.instead, l.turn = append(l.instead, laned{}), append(l.turn, 0)
		l.seen, l.index = append(l.seen, 0), append(l.index, 0)
	}
}

// at returns a run as it is tried, to be read.
func (l *linked) at(k int) *laned {
	if l.turn[k] == l.now {
		return &l.instead[k]
	}
	return &l.runs[k]
}

// open returns a run as it is tried, to be changed.
func (l *linked) open(k int) *laned {
	x := &l.instead[k]
	if l.turn[k] != l.now {
		from := &l.runs[k]
		x.grade, x.r, x.parts, x.cost = from.grade, from.r, append(x.parts[:0], from.parts...), from.cost
		l.turn[k], l.opened = l.now, append(l.opened, k)
	}
	return x
}

// fresh returns the number of a new run without orders.
func (l *linked) fresh(grade int) int {
	k := len(l.runs)
	l.runs = append(l.runs, laned{cast: cast{grade: grade}})
	l.grow()
	l.turn[k] = 0
	return k
}

// leave takes an order out of a run.
func (l *linked) leave(order, k int) {
	l.note(order)
	x := l.open(k)
	at := x.place(order)
	x.parts = slices.Delete(x.parts, at, at+1)
	at = slices.Index(l.of[order], k)
	l.of[order] = slices.Delete(l.of[order], at, at+1)
}

// enter brings an order into a run where it is not.
func (l *linked) enter(order, k int) {
	l.note(order)
	x := l.open(k)
	x.parts = append(x.parts, part{int32(order), 1})
	l.of[order] = append(l.of[order], k)
}

// note remembers the runs of an order before they change.
func (l *linked) note(order int) {
	if slices.ContainsFunc(l.before, func(b runsOf) bool { return b.order == order }) {
		return
	}
	if n := len(l.before); n < cap(l.before) {
		l.before = l.before[:n+1] // with the room that it had
	} else {
		l.before = append(l.before, runsOf{})
	}
	b := &l.before[len(l.before)-1]
	b.order, b.runs = order, append(b.runs[:0], l.of[order]...)
}

// accept takes what was tried.
func (l *linked) accept(more float64) {
	l.cost += more
	for _, k := range l.opened {
		l.runs[k], l.instead[k] = l.instead[k], l.runs[k]
	}
	for k := len(l.runs) - 1; k >= 0; k-- {
		if len(l.runs[k].parts) == 0 {
			l.drop(k)
		}
	}
	l.reset()
}

// drop removes a run that is empty.
func (l *linked) drop(k int) {
	last := len(l.runs) - 1
	if k != last {
		l.runs[k] = l.runs[last]
		for _, p := range l.runs[k].parts {
			of := l.of[p.at]
			of[slices.Index(of, last)] = k
		}
	}
	l.runs[last] = laned{}
	l.runs = l.runs[:last]
}

// reject forgets what was tried.
func (l *linked) reject() {
	for i := range l.before {
		b := &l.before[i]
		l.of[b.order] = append(l.of[b.order][:0], b.runs...)
	}
	if last := len(l.runs) - 1; len(l.runs[last].parts) == 0 {
		l.drop(last)
	}
	l.reset()
}
