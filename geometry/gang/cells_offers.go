package gang

// chooseIn is choose for all lengths of a sum in a cell, of which r is one. It
// lists the choices that meet the demand at some lengths and keep the limit of
// overs at some, but none that takes more lanes than another.
func (q *auction) chooseIn(b *box, r []int64, limit int64) bool {
	return q.listBy(r, limit, func(o *need) { q.listMeeting(b, o, 0, 0, o.d, -o.d) })
}

// listMeeting adds lanes in the runs from k on to those in l, which leave rest to be
// made at the lengths that yield most and make over too much at those that yield
// least, both of them below 0 where it is the other way round.
//
// As the sum is fixed, what another run is shorter the first one is longer. So up
// to as many lanes as the first run has, lanes of another run yield most at its
// least length; those beyond do so at its greatest. For what they yield at least
// it is the reverse.
func (q *auction) listMeeting(b *box, n *need, k int, l lanes, rest, over int64) {
	most := q.c.cap / n.w
	one, first := lanes(1)<<(k*laneBits), l.in(0)
	if k == q.t-1 && rest > 0 {
		q.work += 2
		p := ceilDiv(rest, b.lo[k])
		if p > first {
			p = first + ceilDiv(rest-first*b.lo[k], b.hi[k])
		}
		if p <= most {
			over += min(p, first)*b.hi[k] + max(0, p-first)*b.lo[k]
			q.addOffer(max(0, over)*n.w, l+one*lanes(p))
		}
		return
	}
	for p := range most + 1 {
		if over*n.w > q.limit || len(q.all) >= mostOffers {
			return
		}
		if rest <= 0 {
			q.addOffer(max(0, over)*n.w, l)
			return
		}
		q.work++
		q.listMeeting(b, n, k+1, l, rest, over)
		l += one
		if k > 0 && p < first {
			rest -= b.lo[k]
			over += b.hi[k]
		} else {
			rest -= b.hi[k]
			over += b.lo[k]
		}
	}
}
