package gang

// cells refutes sums of lengths, a whole cell of lengths at a time.
//
// A cell is an interval for each run but the first, which gets what the others
// leave of the sum. An auction for a cell lets every order take what meets its
// demand at the lengths in the cell that suit it best. As the sum is fixed, lanes
// that an order takes alike in all runs yield the same anywhere in the cell: only
// as far as its lanes differ does the cell make an order look better than it is.
// So most cells a hundredth of the sum wide are refuted at once, and the others
// are halved (branch and bound).
//
// Long runs, which a sweep tries on a grid only, get their bound here. It is
// worth most where orders have few lanes each: there the overs that whole lanes
// force on them say much, while the volume says little.
type cells struct {
	c     *core
	t     int
	m     *meter
	bids  *auction
	r     []int64
	aim   int64 // sum to refute, 0 for none
	limit int64 // overs that the volume leaves of the sum
	left  []box // cells to look into, the next one last
	least int64 // least sum that is known to be beyond refuting
}

// newCells returns the search for t runs, whose rules sweeps must know.
func newCells(c *core, t int, m *meter) *cells {
	return &cells{c: c, t: t, m: m, bids: newAuction(c, t), r: make([]int64, t), least: none}
}

// raise proves what it can for t runs, halving the gap between what is proved
// and the least sum that is known to be beyond it. A target that takes too long
// is gone on with next time.
func (w *cells) raise(s *solver) {
	for !w.m.done() {
		low, high := s.proof.least(w.t), min(w.least-1, (s.cost-1-s.c.b*int64(w.t))/s.c.a)
		if low > high {
			return
		}
		if w.aim < low || w.aim > high {
			w.begin(low + (high-low)/2)
		}
		switch w.search() {
		case no:
			s.proof.raise(w.t, w.aim+1)
		case yes:
			w.least, w.aim = w.aim, 0
		}
	}
}

// begin aims at a sum of lengths. Without overs limits longer runs never hurt:
// when all lengths of that sum are refuted, so are those of all smaller ones.
func (w *cells) begin(sum int64) {
	w.aim = sum
	w.limit = sum*w.c.cap - load(w.c)
	w.left = w.left[:0]
	if w.limit < 0 {
		return
	}
	var b box
	for k := range w.t {
		b.lo[k], b.hi[k] = w.c.least, sum
	}
	w.left = append(w.left, b)
}

// firstParts is how fine the cells are that are tried first, in parts of the
// sum: coarser ones leave the orders many choices and are seldom refuted.
const firstParts = 128

// search goes on with the cells that are left: no when all are refuted, yes as
// soon as lengths are met that cannot be, though they may have no plan either.
func (w *cells) search() verdict {
	for len(w.left) > 0 {
		if !w.m.spend(1) {
			return maybe
		}
		b := w.left[len(w.left)-1]
		w.left = w.left[:len(w.left)-1]
		if !w.tighten(&b) {
			continue
		}
		at := 1
		for k := 2; k < w.t; k++ {
			if b.width(k) > b.width(at) {
				at = k
			}
		}
		if b.width(at) <= w.aim/firstParts {
			if w.refuted(&b) {
				continue
			}
			if b.width(at) == 0 {
				return yes
			}
		}
		low, high := b, b
		low.hi[at] = b.middle(at)
		high.lo[at] = low.hi[at] + 1
		w.left = append(w.left, high, low)
	}
	return no
}

// tighten narrows a cell to sorted lengths and gives the first run all that the
// others can leave; false when no lengths are left.
func (w *cells) tighten(b *box) bool {
	rest := w.aim // what the runs from k on leave at most
	for k := w.t - 1; k > 0; k-- {
		if k+1 < w.t {
			b.lo[k] = max(b.lo[k], b.lo[k+1])
		}
		rest -= b.lo[k]
	}
	b.lo[0], b.hi[0] = w.aim, rest
	for k := 1; k < w.t; k++ {
		rest += b.lo[k] // the runs up to k are as long as run k at least
		if b.hi[k] = min(b.hi[k], b.hi[k-1], rest/int64(k+1)); b.lo[k] > b.hi[k] {
			return false
		}
		b.lo[0] -= b.hi[k]
	}
	return true
}

// cellRounds is fewer than lengths alone get: what a few rounds don't refute is
// halved at little cost.
const cellRounds = 6

// refuted reports whether an auction refutes a cell.
func (w *cells) refuted(b *box) bool {
	q := w.bids
	w.r[0] = w.aim
	for k := 1; k < w.t; k++ {
		w.r[k] = b.middle(k)
		w.r[0] -= w.r[k]
	}
	q.work += 10
	v := maybe
	switch {
	case q.chooseIn(b, w.r, w.limit):
		v = q.settle(cellRounds)
	case len(q.all) < mostOffers:
		v = no
	}
	w.m.spend(q.work / workPerStep)
	q.work %= workPerStep
	return v == no
}
