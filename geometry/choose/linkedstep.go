package choose

// step tries one change, of some kinds more often than of others.
func (l *linked) step() {
	*l.work += 10
	i := l.rng.IntN(len(l.of))
	from := l.of[i][l.rng.IntN(len(l.of[i]))]
	if l.change(l.rng.IntN(46), i, from) {
		l.weigh()
		return
	}
	l.reject()
}

// change changes an order in one of its runs; false where it can't.
func (l *linked) change(way, i, from int) bool {
	switch {
	case way < 20:
		return l.giveLane(i, from)
	case way < 30:
		return l.move(i, from)
	case way < 36:
		return l.swap(i, from)
	case way < 42:
		return l.split(i, from)
	case way < 45:
		return l.unite(i, from)
	default:
		return l.part(i, from)
	}
}

// another draws a run of an order that needs about as much.
func (l *linked) another(i int) (order, k int) {
	order = l.other(i, l.rng)
	return order, l.of[order][l.rng.IntN(len(l.of[order]))]
}

// part gives an order a run of its own.
func (l *linked) part(i, from int) bool {
	if len(l.at(from).parts) == 1 {
		return false
	}
	k := l.fresh(l.at(from).grade)
	l.leave(i, from)
	l.enter(i, k)
	return l.settle(from, k)
}

// move moves an order to another run.
func (l *linked) move(i, from int) bool {
	_, to := l.another(i)
	if to == from || l.has(i, to) {
		return false
	}
	l.leave(i, from)
	l.enter(i, to)
	return l.settle(from, to)
}

// swap lets two orders change places.
func (l *linked) swap(i, from int) bool {
	k, to := l.another(i)
	if to == from || l.has(i, to) || l.has(k, from) {
		return false
	}
	l.leave(i, from)
	l.leave(k, to)
	l.enter(i, to)
	l.enter(k, from)
	return l.settle(from, to)
}

// split prints a part of an order in another run too: as much as a lane or two make there
// beside the orders that are in it.
func (l *linked) split(i, from int) bool {
	_, to := l.another(i)
	if to == from || l.has(i, to) || len(l.of[i]) >= mostRunsOf || !l.agree(from, to) {
		return false
	}
	lanes := int64(1 + l.rng.IntN(4)/3)
	x := l.open(to)
	g := &l.t.grades[x.grade]
	if int64(len(x.parts))+lanes > g.capacity {
		return false
	}
	if !l.lacking(to) {
		return false
	}
	most := lanes * shortest(l.lack, l.set, g.capacity-lanes, g.least)
	l.enter(i, to)
	return l.refill(to, i, most) && l.refill(from, -1, 0)
}

// agree brings two runs to one grade, where one of them shares no order.
func (l *linked) agree(from, to int) bool {
	a, b := l.at(from).grade, l.at(to).grade
	switch {
	case a == b:
	case l.stands(from) && (!l.stands(to) || l.rng.IntN(2) == 0):
		l.open(from).grade = b
	case l.stands(to):
		l.open(to).grade = a
	default:
		return false
	}
	return true
}

// unite prints an order no longer in one of its runs.
func (l *linked) unite(i, from int) bool {
	if len(l.of[i]) < 2 {
		return false
	}
	l.leave(i, from)
	return l.settle(from) && l.settle(l.of[i]...)
}

// giveLane gives a lane of an order in a run to another.
func (l *linked) giveLane(i, from int) bool {
	x := l.open(from)
	at := x.place(i)
	if x.parts[at].lanes == 1 && len(l.of[i]) == 1 {
		return false
	}
	k := l.other(i, l.rng)
	if l.rng.IntN(2) == 0 {
		k = int(x.parts[l.rng.IntN(len(x.parts))].at)
	}
	switch there := x.place(k); {
	case k == i || l.t.need[x.grade][k] == 0:
		return false
	case there >= 0:
		x.parts[there].lanes++
	case len(l.of[k]) >= mostRunsOf:
		return false
	default:
		l.enter(k, from)
	}
	if x.parts[at].lanes--; x.parts[at].lanes > 0 {
		return true
	}
	l.leave(i, from)
	for _, k := range l.of[i] { // where all of it is made now
		l.open(k)
	}
	return true
}

// settle gives runs that share no order the grade that prints them for least, and shares
// out the lanes of all; false where it can't.
func (l *linked) settle(runs ...int) bool {
	for _, k := range runs {
		if x := l.open(k); len(x.parts) > 0 && l.stands(k) {
			set := l.set[:0]
			for _, p := range x.parts {
				set = append(set, int(p.at))
			}
			grade, _, _ := l.t.shared(set, l.work)
			if l.set = set; grade == spared {
				return false
			}
			x.grade = grade
		}
		if !l.refill(k, -1, 0) {
			return false
		}
	}
	return true
}
