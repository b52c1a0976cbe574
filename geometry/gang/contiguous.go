package gang

import "math"

// contiguous returns the first plan: orders sorted by quantity are cut into
// neighbouring blocks, each block one run of its own least length, and dynamic
// programming picks the cheapest cuts. Orders that share a run should want
// alike quantities, so this is seldom far off: 2 to 10 % on random nights.
//
// When the cheapest cuts take more runs than allowed, the number of runs
// becomes a second dimension. It returns nil when no cuts keep the limits.
func contiguous(c *core) []run {
	n := len(c.need)
	blocks := blocksOf(c)
	best := make([]int64, n+1)
	cut := make([]int, n+1)
	for j := 1; j <= n; j++ {
		best[j] = math.MaxInt64
		for i := range blocks[j] {
			from := j - 1 - i
			b := &blocks[j][i]
			if b.r > 0 && best[from] < math.MaxInt64 {
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
		runs = append(runs, blockRun(c, cut[j], j, blocks[j][j-1-cut[j]].r))
	}
	if len(runs) > c.runs {
		return blocksIn(c, blocks)
	}
	return runs
}

// block is what a stretch of orders costs as one run.
type block struct {
	r    int64 // length; 0 when the stretch is impossible
	cost int64
}

// blocksOf lists, for every end j, the blocks [j-1,j), [j-2,j) and so on, as far
// as the capacity reaches.
func blocksOf(c *core) [][]block {
	n := len(c.need)
	all := make([][]block, n+1)
	for j := 1; j <= n; j++ {
		var width int64
		from := int64(0)
		for i := j - 1; i >= 0 && j-i <= c.share; i-- {
			width += c.need[i].w
			if width > c.cap {
				break
			}
			b := blockOf(c, i, j, from)
			if !c.capped {
				from = b.r
			}
			all[j] = append(all[j], b)
		}
	}
	return all
}

// blockOf measures the stretch [i, j), known to need a length of at least from.
func blockOf(c *core, i, j int, from int64) block {
	r, ok := c.oneRunFrom(c.need[i:j], max(from, c.least))
	if !ok {
		return block{}
	}
	return block{r, c.a*r + c.b}
}

// blockRun is the run of length r for the orders [i, j).
func blockRun(c *core, i, j int, r int64) run {
	one := run{r: r}
	for at := i; at < j; at++ {
		one.parts = append(one.parts, part{at, c.lanes(at, r)})
	}
	return one
}

// blocksIn is contiguous in at most c.runs runs.
func blocksIn(c *core, blocks [][]block) []run {
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
				from := j - 1 - i
				if b.r == 0 || t == 0 || best[t-1][from] == math.MaxInt64 {
					continue
				}
				if v := best[t-1][from] + b.cost; v < best[t][j] {
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
		runs = append(runs, blockRun(c, from, j, blocks[j][j-1-from].r))
		t, j = t-1, from
	}
	return runs
}
