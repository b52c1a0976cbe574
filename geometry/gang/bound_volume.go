package gang

import (
	"cmp"
	"slices"
)

// bounds tells what no answer to a problem can be better than.
type bounds struct{ core *core }

func (c *core) bounds() bounds { return bounds{c} }

// volume is the least sum of lengths that any plan needs: full runs without a
// unit of overs, and no order faster than with all lanes. An order takes a lane of
// some run, so never less than the least length of one.
func (c bounds) volume() int64 {
	longest, volume := c.core.least, int64(0)
	for i := range c.core.need {
		n := &c.core.need[i]
		longest = max(longest, ceilDiv(n.d, c.core.cap/n.w))
		volume += n.w * max(n.d, c.core.least)
	}
	return max(longest, ceilDiv(volume, c.usable()))
}

// usable is the most of the capacity that a run can use: no order takes more
// lanes than its greatest quantity allows in the shortest run, and no more orders
// than may share a run take any.
func (c bounds) usable() int64 {
	if !c.core.capped || c.core.least == 1 {
		return c.core.cap
	}
	var widths []int64
	for i := range c.core.need {
		n := &c.core.need[i]
		widths = append(widths, min(c.core.cap, n.w*(min(n.u/c.core.least, c.core.cap))))
	}
	slices.SortFunc(widths, func(x, y int64) int { return cmp.Compare(y, x) })
	most := int64(0)
	for _, w := range widths[:min(len(widths), c.core.share)] {
		most += w
	}
	return max(1, min(c.core.cap, most))
}

// slot is the least sum of lengths that t runs need where few orders may
// share one and none is short. Some of the runs hold the greatest orders, and are
// as long together as those ask for; the others are short ones at least, as many
// as it takes to hold the orders that find no room beside the greatest.
func (c bounds) slot(t int) int64 {
	n := len(c.core.need)
	if c.core.share >= n || c.core.least == 1 || t < 1 {
		return 0
	}
	narrow := c.core.need[0].w
	for i := range c.core.need {
		narrow = min(narrow, c.core.need[i].w)
	}
	usable, best, load := c.usable(), int64(0), int64(0)
	for m := 1; m <= min(n, mostGreat); m++ {
		load += c.core.need[m-1].w * max(c.core.need[m-1].d, c.core.least)
		least := int64(noCost)
		for runs := (m + c.core.share - 1) / c.core.share; runs <= t; runs++ {
			beside := max(0, n-m-c.core.share*(t-runs)) // orders that stand with the greatest
			if beside > c.core.share*runs-max(m, runs) {
				continue
			}
			long := max(int64(runs)*c.core.least, ceilDiv(load+int64(beside)*c.core.least*narrow, usable))
			least = min(least, long+int64(t-runs)*c.core.least)
		}
		if least < noCost {
			best = max(best, least)
		}
	}
	return best
}

// mostGreat is how many of the greatest orders the slots are counted for.
const mostGreat = 32

// load is the sum of width times demand of the orders.
func (c bounds) load() int64 {
	var sum int64
	for i := range c.core.need {
		sum += c.core.need[i].w * c.core.need[i].d
	}
	return sum
}

// leastRuns is the least number of runs: every order takes a lane in some run.
func (c bounds) leastRuns() int {
	var width int64
	for i := range c.core.need {
		width += c.core.need[i].w
	}
	runs := ceilDiv(width, c.core.cap)
	if c.core.share < len(c.core.need) {
		runs = max(runs, ceilDiv(int64(len(c.core.need)), int64(c.core.share)))
	}
	return int(runs)
}
