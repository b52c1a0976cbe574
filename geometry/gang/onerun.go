package gang

// oneRun returns the least length of a single run that meets all of ns, or false
// when no length does: too many widths, or overs limits that clash.
//
// Lanes fall as the length grows, so the capacity sets a least length that
// bisection finds. Overs limits are not monotone: from there on, each order
// that makes too much asks for the next length at which one lane fewer does.
func (c *core) oneRun(ns []need) (int64, bool) {
	return c.oneRunFrom(ns, c.least)
}

// oneRunFrom is oneRun for lengths of at least r.
func (c *core) oneRunFrom(ns []need, r int64) (int64, bool) {
	var volume, width int64
	longest := c.least
	for i := range ns {
		volume += ns[i].w * ns[i].d
		width += ns[i].w
		longest = max(longest, ns[i].d)
	}
	if width > c.cap {
		return 0, false
	}
	lo, hi := max(r, ceilDiv(volume, c.cap)), max(r, longest)
	if free := c.cap - width; free > 0 {
		hi = max(r, min(hi, ceilDiv(volume, free)))
	}
	for lo < hi {
		mid := lo + (hi-lo)/2
		if c.fits(ns, mid) {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	if c.capped {
		return leastWithin(ns, hi)
	}
	return hi, true
}

// fits reports whether one run of length r has room for ns.
func (c *core) fits(ns []need, r int64) bool {
	left := c.cap
	for i := range ns {
		left -= ns[i].w * ceilDiv(ns[i].d, r)
		if left < 0 {
			return false
		}
	}
	return true
}

// leastWithin is the least length of at least r at which every order has a
// number of lanes between its demand and its greatest quantity.
func leastWithin(ns []need, r int64) (int64, bool) {
	for again := true; again; {
		again = false
		for i := range ns {
			p := ns[i].u / r
			if p == 0 {
				return 0, false
			}
			if p*r < ns[i].d {
				r, again = ceilDiv(ns[i].d, p), true
			}
		}
	}
	return r, true
}
