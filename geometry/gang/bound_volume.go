package gang

// volume is the least sum of lengths that any plan needs: full runs without a
// unit of overs, and no order faster than with all lanes.
func (c *core) volume() int64 {
	longest := c.least
	for i := range c.need {
		n := &c.need[i]
		longest = max(longest, ceilDiv(n.d, c.cap/n.w))
	}
	return max(longest, ceilDiv(c.load(), c.cap))
}

// load is the sum of width times demand of the orders.
func (c *core) load() int64 {
	var sum int64
	for i := range c.need {
		sum += c.need[i].w * c.need[i].d
	}
	return sum
}

// leastRuns is the least number of runs: every order takes a lane in some run.
func (c *core) leastRuns() int {
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
