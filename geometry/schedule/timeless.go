package schedule

import "slices"

// timeless is Exact for runs that take no time and are never due: of the ways to have
// printed a set of runs up to one of them, only what the changes cost tells. It is false
// where anything takes time.
func (p *Problem) timeless() (Sequence, bool) {
	n := len(p.Ticks)
	costs := make([]int64, (n+1)*n)
	for from := -1; from < n; from++ {
		for to := range n {
			ticks, cost := p.Change(from, to)
			if ticks != 0 || p.Ticks[to] != 0 || len(p.Dues[to]) > 0 {
				return Sequence{}, false
			}
			costs[(from+1)*n+to] = cost
		}
	}
	sums := slices.Repeat([]int64{Never}, n<<n) // by set and last run
	before := make([]int8, n<<n)
	for r := range n {
		sums[n<<r+r] = costs[r]
	}
	for set := 1; set < 1<<n; set++ {
		for last := range n {
			sum := sums[set*n+last]
			if sum == Never {
				continue
			}
			for r, cost := range costs[(last+1)*n : (last+2)*n] {
				if set>>r&1 == 1 {
					continue
				}
				if to := (set|1<<r)*n + r; sum+cost < sums[to] {
					sums[to], before[to] = sum+cost, int8(last)
				}
			}
		}
	}
	set := 1<<n - 1
	last := 0
	for r := range n {
		if sums[set*n+r] < sums[set*n+last] {
			last = r
		}
	}
	out := Sequence{Cost: sums[set*n+last], End: p.Begin}
	for set != 0 {
		out.Runs = append(out.Runs, last)
		set, last = set&^(1<<last), int(before[set*n+last])
	}
	slices.Reverse(out.Runs)
	return out, true
}
