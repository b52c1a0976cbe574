package gang

// need gives the order at place j, the smallest first.
func (q *auction) need(j int) *need { return &q.c.need[len(q.c.need)-1-j] }

// choose lists the choices that the overs up to limit, in units of volume,
// leave to each order; false when some order has none.
func (q *auction) choose(r []int64, limit int64) bool {
	q.r, q.limit = r, limit
	q.lanes, q.loss = q.lanes[:0], q.loss[:0]
	n := len(q.pick)
	for j := range n {
		o := q.need(j)
		q.first[j] = len(q.loss)
		q.low = q.limit + 1
		q.from(o, q.c.cap/o.w, 0, o.d)
		q.least[j] = q.low
		if q.limit -= q.low; q.limit < 0 {
			return false
		}
	}
	q.first[n] = len(q.loss)
	q.fix(q.limit)
	return true
}

// fix drops the choices that take more than slack beyond the least of their
// order: whatever the others choose, nothing can pay for them.
func (q *auction) fix(slack int64) {
	t, kept, from := q.t, 0, 0
	for j := range q.pick {
		to := q.first[j+1]
		q.first[j] = kept
		most := q.least[j] + slack
		for k := from; k < to; k++ {
			if q.loss[k] > most {
				continue
			}
			if kept != k {
				q.loss[kept] = q.loss[k]
				copy(q.lanes[kept*t:kept*t+t], q.lanes[k*t:k*t+t])
			}
			kept++
		}
		from = to
	}
	q.first[len(q.pick)] = kept
	q.loss, q.lanes = q.loss[:kept], q.lanes[:kept*t]
}

// from sets the lanes in the runs from k on, with rest still to be made.
func (q *auction) from(n *need, most int64, k int, rest int64) {
	r := q.r[k]
	if k < q.t-2 {
		for p := int64(0); p <= most; p++ {
			q.lane[k] = int32(p)
			if rest <= 0 {
				clear(q.lane[k+1:])
				q.add(-rest * n.w)
				break
			}
			q.from(n, most, k+1, rest)
			rest -= r
		}
		q.lane[k] = 0
		return
	}
	last := q.r[k+1]
	p := int64(0)
	if over := rest - most*last; over > 0 {
		if p = ceilDiv(over, r); p > most {
			return
		}
		rest -= p * r
	}
	if rest > 0 {
		m := ceilDiv(rest, last)
		over := m*last - rest
		down := r / last
		rem := r - down*last
		for ; m > 0; p++ {
			q.work++
			if p > most {
				return
			}
			if v := over * n.w; v <= q.limit {
				q.lane[k], q.lane[k+1] = int32(p), int32(m)
				q.add(v)
			}
			if rest -= r; rest <= 0 {
				p++
				break
			}
			m -= down
			if over += rem; over >= last {
				over -= last
				m--
			}
		}
		if p > most {
			return
		}
	}
	q.lane[k], q.lane[k+1] = int32(p), 0
	q.add(-rest * n.w)
}

func (q *auction) add(loss int64) {
	if loss > q.limit {
		return
	}
	q.low = min(q.low, loss)
	q.loss = append(q.loss, loss)
	q.lanes = append(q.lanes, q.lane...)
}
