package gang

import "math"

// contiguous gives the first plan: orders sorted by quantity are cut into
// neighbouring blocks, each block one run of its own least length, and dynamic
// programming picks the cheapest cuts. Orders that share a run should want
// alike quantities, so this is seldom far off: 2 to 10 % on random nights.
//
// When the cheapest cuts take more runs than allowed, the number of runs
// becomes a second dimension. It returns nil when no cuts keep the limits.
func (c *core) contiguous() []run {
	n := len(c.need)
	blocks := c.blocks()
	best := make([]int64, n+1)
	cut := make([]int, n+1)
	for j := 1; j <= n; j++ {
		best[j] = math.MaxInt64
		for i := range blocks[j] {
			from := j - 1 - i
			b := &blocks[j][i]
			if b.times > 0 && best[from] < math.MaxInt64 {
				if v := best[from] + b.cost; v < best[j] {
					best[j], cut[j] = v, from
				}
			}
		}
	}
	if best[n] == math.MaxInt64 {
		return nil
	}
	var runs []run
	for j := n; j > 0; j = cut[j] {
		runs = c.blockRuns(runs, cut[j], j, &blocks[j][j-1-cut[j]])
	}
	if len(runs) > c.runs {
		return c.contiguousIn(blocks)
	}
	return runs
}

// block is what a stretch of orders costs as one run, or as several equal runs
// where one would be too long.
type block struct {
	r     int64 // sum of the run lengths
	times int64 // number of runs; 0 when the stretch is impossible
	cost  int64
}

// blocks lists, for every end j, the blocks [j-1,j), [j-2,j) and so on, as far
// as the capacity reaches.
func (c *core) blocks() [][]block {
	n := len(c.need)
	all := make([][]block, n+1)
	for j := 1; j <= n; j++ {
		var width int64
		from := int64(0)
		for i := j - 1; i >= 0 && j-i <= c.share; i-- {
			width += c.need[i].w
			if width > c.cap || c.clash(i, i+1, j) {
				break
			}
			b := c.block(i, j, from)
			if !c.capped {
				from = b.r
			}
			all[j] = append(all[j], b)
		}
	}
	return all
}

// clash reports whether order i must be kept apart from one of [from, to).
func (c *core) clash(i, from, to int) bool {
	if c.apart == nil {
		return false
	}
	for k := from; k < to; k++ {
		if c.apart[i][k] {
			return true
		}
	}
	return false
}

// block measures the stretch [i, j), known to need a length of at least from.
func (c *core) block(i, j int, from int64) block {
	r, ok := c.oneRunFrom(c.need[i:j], max(from, c.least))
	if !ok {
		return block{}
	}
	b := block{r: r, times: 1}
	if r > c.most {
		b.times = ceilDiv(r, c.most)
		if r < b.times*c.least {
			b.r = b.times * c.least
		}
		for k := i; k < j; k++ {
			if c.need[k].noSplit || c.lanes(k, r)*b.r > c.need[k].u {
				return block{r: r}
			}
		}
	}
	b.cost = c.a*b.r + c.b*b.times
	return b
}

// blockRuns appends the runs of block b over the orders [i, j).
func (c *core) blockRuns(runs []run, i, j int, b *block) []run {
	left := b.r
	for k := b.times; k > 0; k-- {
		r := run{r: ceilDiv(left, k)}
		left -= r.r
		for at := i; at < j; at++ {
			r.parts = append(r.parts, part{at, c.lanes(at, b.r)})
		}
		runs = append(runs, r)
	}
	return runs
}

// contiguousIn is contiguous in at most c.runs runs.
func (c *core) contiguousIn(blocks [][]block) []run {
	n := len(c.need)
	best := make([][]int64, c.runs+1)
	cut := make([][]int, c.runs+1)
	for t := range best {
		best[t] = make([]int64, n+1)
		cut[t] = make([]int, n+1)
		for j := range best[t] {
			best[t][j] = math.MaxInt64
		}
		best[t][0] = 0
		for j := 1; j <= n; j++ {
			for i := range blocks[j] {
				b := &blocks[j][i]
				from, used := j-1-i, t-int(b.times)
				if b.times == 0 || used < 0 || best[used][from] == math.MaxInt64 {
					continue
				}
				if v := best[used][from] + b.cost; v < best[t][j] {
					best[t][j], cut[t][j] = v, from
				}
			}
		}
	}
	if best[c.runs][n] == math.MaxInt64 {
		return nil
	}
	var runs []run
	for t, j := c.runs, n; j > 0; {
		from := cut[t][j]
		b := &blocks[j][j-1-from]
		runs = c.blockRuns(runs, from, j, b)
		t, j = t-int(b.times), from
	}
	return runs
}
