package gang

// need returns the order at place j, the smallest first.
func (q *auction) need(j int) *need { return &q.c.need[len(q.c.need)-1-j] }

// mostOffers is the greatest number of choices that an auction lists.
const mostOffers = 50_000

// choose lists the choices that the overs up to limit, in units of volume,
// leave to each order; false when some order has none, or when there are
// mostOffers.
func (q *auction) choose(r []int64, limit int64) bool {
	return q.listBy(r, limit, func(o *need) { q.listFrom(o, q.c.cap/o.w, 0, 0, o.d) })
}

// listBy lists the choices of all orders, those of one by add. Each order leaves
// the others what it does not lose at least.
func (q *auction) listBy(r []int64, limit int64, add func(*need)) bool {
	q.r, q.limit = r, limit
	q.all = q.all[:0]
	n := len(q.pick)
	for j := range n {
		o := q.need(j)
		q.first[j] = len(q.all)
		q.low = q.limit + 1
		add(o)
		q.least[j] = q.low
		if q.limit -= q.low; q.limit < 0 || len(q.all) >= mostOffers {
			return false
		}
	}
	q.first[n] = len(q.all)
	return true
}

// fix drops the choices that take more than slack beyond the least of their
// order: whatever the others choose, nothing can pay for them.
func (q *auction) fix(slack int64) {
	kept, from := 0, 0
	for j := range q.pick {
		to := q.first[j+1]
		q.first[j] = kept
		most := q.least[j] + slack
		for k := from; k < to; k++ {
			if q.all[k].loss <= most {
				if kept != k {
					q.all[kept] = q.all[k]
				}
				kept++
			}
		}
		from = to
	}
	q.first[len(q.pick)] = kept
	q.all = q.all[:kept]
}

// listFrom adds lanes in the runs from k on to those in l, with rest still to be
// made.
func (q *auction) listFrom(n *need, most int64, k int, l lanes, rest int64) {
	r, one := q.r[k], lanes(1)<<(k*laneBits)
	if k < q.t-2 {
		for range most + 1 {
			if len(q.all) >= mostOffers {
				return
			}
			if rest <= 0 {
				q.addOffer(-rest*n.w, l)
				break
			}
			q.listFrom(n, most, k+1, l, rest)
			rest -= r
			l += one
		}
		return
	}
	q.work += 2
	last := q.r[k+1]
	p := int64(0)
	if over := rest - most*last; over > 0 {
		p = ceilDiv(over, r)
		rest -= p * r
		l += one * lanes(p)
	}
	if rest > 0 {
		// From here on the lanes of the last run follow without a division.
		m := ceilDiv(rest, last)
		over := m*last - rest
		down := r / last
		rem := r - down*last
		for p <= most {
			q.work++
			if v := over * n.w; v <= q.limit {
				q.addOffer(v, l+lanes(m)<<((k+1)*laneBits))
			}
			p++
			l += one
			if rest -= r; rest <= 0 {
				break
			}
			m -= down
			if over += rem; over >= last {
				over -= last
				m--
			}
		}
	}
	if p <= most {
		q.addOffer(-rest*n.w, l)
	}
}

func (q *auction) addOffer(loss int64, l lanes) {
	if loss <= q.limit {
		q.low = min(q.low, loss)
		q.all = append(q.all, offer{loss, l})
	}
}
