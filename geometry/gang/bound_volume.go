package gang

import (
	"cmp"
	"slices"
)

// volumeBound is the least sum of lengths that any plan needs: full runs without a
// unit of overs, and no order faster than with all lanes. An order takes a lane of
// some run, so never less than the least length of one.
func volumeBound(c *core) int64 {
	longest, volume := c.least, int64(0)
	for i := range c.need {
		n := &c.need[i]
		longest = max(longest, ceilDiv(n.d, c.cap/n.w))
		volume += n.w * max(n.d, c.least)
	}
	return max(longest, ceilDiv(volume, usable(c)))
}

// usable is the most of the capacity that a run can use: no order takes more
// lanes than its greatest quantity allows in the shortest run, and no more orders
// than may share a run take any.
func usable(c *core) int64 {
	if !c.capped || c.least == 1 {
		return c.cap
	}
	var widths []int64
	for i := range c.need {
		n := &c.need[i]
		widths = append(widths, min(c.cap, n.w*(min(n.u/c.least, c.cap))))
	}
	slices.SortFunc(widths, func(x, y int64) int { return cmp.Compare(y, x) })
	most := int64(0)
	for _, w := range widths[:min(len(widths), c.share)] {
		most += w
	}
	return max(1, min(c.cap, most))
}

// slotBound is the least sum of lengths that t runs need where few orders may
// share one and none is short. Some of the runs hold the greatest orders, and are
// as long together as those ask for; the others are short ones at least, as many
// as it takes to hold the orders that find no room beside the greatest.
func slotBound(c *core, t int) int64 {
	n := len(c.need)
	if c.share >= n || c.least == 1 || t < 1 {
		return 0
	}
	narrow := c.need[0].w
	for i := range c.need {
		narrow = min(narrow, c.need[i].w)
	}
	room, best, volume := usable(c), int64(0), int64(0)
	for m := 1; m <= min(n, mostGreat); m++ {
		volume += c.need[m-1].w * max(c.need[m-1].d, c.least)
		least := int64(noCost)
		for runs := (m + c.share - 1) / c.share; runs <= t; runs++ {
			beside := max(0, n-m-c.share*(t-runs)) // orders that stand with the greatest
			if beside > c.share*runs-max(m, runs) {
				continue
			}
			long := max(int64(runs)*c.least, ceilDiv(volume+int64(beside)*c.least*narrow, room))
			least = min(least, long+int64(t-runs)*c.least)
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
func load(c *core) int64 {
	var sum int64
	for i := range c.need {
		sum += c.need[i].w * c.need[i].d
	}
	return sum
}

// leastRuns is the least number of runs: every order takes a lane in some run.
func leastRuns(c *core) int {
	var width int64
	for i := range c.need {
		width += c.need[i].w
	}
	runs := ceilDiv(width, c.cap)
	if c.share < len(c.need) {
		runs = max(runs, ceilDiv(int64(len(c.need)), int64(c.share)))
	}
	return int(runs)
}
