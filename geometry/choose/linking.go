package choose

import "math"

// linking is what weighs runs that are linked.
type linking struct {
	group   []int // the runs that are weighed
	lengths balance
	lack    []int64 // of the orders of a run
	set     []int
	lanes   [mostLanes]int64
}

// weigh takes what is tried where the heat lets it.
func (l *linked) weigh() {
	before, after := 0.0, 0.0
	for _, k := range l.opened {
		if l.seen[k] == l.now {
			continue
		}
		was, is := l.linkedWith(k)
		if before, after = before+was, after+is; math.IsInf(is, 1) {
			l.reject()
			return
		}
	}
	if after <= before-l.heat*math.Log(1-l.rng.Float64()) {
		l.accept(after - before)
		return
	}
	l.reject()
}

// linkedWith balances all runs that are linked with one, and returns what they cost
// before and what they cost now; infinite where they are too many, of several grades, or
// can't make their orders whole.
func (l *linked) linkedWith(first int) (before, after float64) {
	grade := l.at(first).grade
	need := l.t.need[grade]
	l.group = append(l.group[:0], first)
	l.seen[first] = l.now
	l.lengths.begin()
	for n := 0; n < len(l.group); n++ {
		k := l.group[n]
		before += l.runs[k].cost
		x := l.at(k)
		if x.grade != grade || n >= mostLinked {
			return before, math.Inf(1)
		}
		*l.work += int64(2 * len(x.parts))
		l.index[k] = n
		low := l.t.grades[grade].least
		for _, p := range x.parts {
			if len(l.of[p.at]) == 1 {
				if d, lanes := need[p.at], int64(p.lanes); low*lanes < d {
					low = (d + lanes - 1) / lanes
				}
				continue
			}
			if l.of[p.at][0] == k {
				l.lengths.order(int(p.at), need[p.at])
			}
			for _, j := range l.of[p.at] {
				if l.seen[j] != l.now {
					l.seen[j], l.group = l.now, append(l.group, j)
				}
			}
		}
		l.lengths.run(low)
	}
	if len(l.group) > 1 && !l.balanced() {
		return before, math.Inf(1)
	}
	for n, k := range l.group {
		x := l.open(k)
		x.r, x.cost = int64(math.Ceil(l.lengths.length(n)-1e-6)), 0
		if len(x.parts) > 0 {
			x.cost = l.t.cost(&x.cast)
		}
		after += x.cost
	}
	return before, after
}

// balanced sets the lengths of the runs that are weighed; false where it can't.
func (l *linked) balanced() bool {
	b := &l.lengths
	for i := range b.rows {
		c := &b.rows[i]
		for _, j := range l.of[c.order] {
			x := l.at(j)
			c.at, c.lanes = append(c.at, int8(l.index[j])), append(c.lanes, float64(x.parts[x.place(c.order)].lanes))
		}
	}
	b.work = 0
	ok := b.solve()
	*l.work += b.work/2 + int64(4*len(l.group))
	return ok
}

// refill shares the lanes of a run out between its orders, by what the other runs leave
// of each, and sets its length; false where it can't. Of one order it makes so much at
// most.
func (l *linked) refill(k, order int, most int64) bool {
	x := l.open(k)
	g := &l.t.grades[x.grade]
	if int64(len(x.parts)) > g.capacity {
		return false
	}
	if !l.lacking(k) {
		return false
	}
	if at := x.place(order); at >= 0 {
		l.lack[at] = max(1, min(l.lack[at], most))
	}
	*l.work += int64(4 * len(x.parts))
	lanes := l.lanes[:len(x.parts)]
	x.r = shareOut(l.lack, l.set, g.capacity, g.least, lanes)
	for i := range x.parts {
		x.parts[i].lanes = int32(lanes[i])
	}
	return true
}

// lacking notes what each order of a run lacks; false where its grade doesn't print one.
func (l *linked) lacking(k int) bool {
	l.lack, l.set = l.lack[:0], l.set[:0]
	x := l.at(k)
	for i, p := range x.parts {
		if l.t.need[x.grade][p.at] == 0 {
			return false
		}
		l.lack, l.set = append(l.lack, l.lacks(int(p.at), k)), append(l.set, i)
	}
	return true
}

// lacks is how many frames of an order's lanes its other runs leave to one, 1 at least.
func (l *linked) lacks(order, k int) int64 {
	d := l.t.need[l.at(k).grade][order]
	for _, j := range l.of[order] {
		if j != k {
			x := l.at(j)
			d -= int64(x.parts[x.place(order)].lanes) * x.r
		}
	}
	return max(1, d)
}
