package gang

import (
	"math"
	"math/rand/v2"
)

// anneal searches the lanes of a fixed number of runs by simulated annealing.
// The lengths are never guessed: the LP gives the best ones for every choice
// of lanes, and its dual values name the orders that a lane more would help.
type anneal struct {
	c    *core
	t    int
	m    *meter
	rng  *rand.Rand
	lane [][]int64 // lanes of order i in run t
	all  []int64   // lanes of order i
	used []int64   // capacity used of run t
	len  *lengthSearch
	sum  float64 // of the lengths for lane
	most int64   // greatest whole sum still of interest
	best []run
	undo []change
}

type change struct {
	i, t int
	by   int64
}

// annealed looks for a plan of at most t runs with a sum of lengths of at most
// most, starting from runs, and gives the best it met or nil.
func (c *core) annealed(start []run, t int, most, tries int64, m *meter, rng *rand.Rand) []run {
	a := &anneal{
		c: c, t: t, m: m, rng: rng, most: most,
		all: make([]int64, len(c.need)), used: make([]int64, t), len: newLengthSearch(c, t, m),
	}
	for range c.need {
		a.lane = append(a.lane, make([]int64, t))
	}
	for k, r := range start {
		for _, p := range r.parts {
			a.set(p.at, k, p.lanes)
		}
	}
	a.sum = a.len.relax(a.lane, math.Inf(1))
	if math.IsInf(a.sum, 1) {
		return nil
	}
	a.keep()
	// From 1 in 100 of the sum down to 1 in 20 000 of it or a tenth of a step:
	// a lane less of an order is worth 1 to 10 in 100, a good swap 1 in 1000.
	hot, cold := a.sum/100, max(a.sum/20_000, 0.1)
	for k := int64(0); k < tries && a.m.spend(1); k++ {
		heat := hot * math.Pow(cold/hot, float64(k)/float64(tries))
		a.step(heat)
		if a.most < c.volume() {
			break
		}
	}
	return a.best
}

// set gives order i by more lanes in run t.
func (a *anneal) set(i, t int, by int64) {
	a.lane[i][t] += by
	a.all[i] += by
	a.used[t] += by * a.c.need[i].w
	a.undo = append(a.undo, change{i, t, by})
}

// step tries one change and takes it unless it is too much worse.
func (a *anneal) step(heat float64) {
	a.undo = a.undo[:0]
	limit := a.sum - heat*math.Log(1-a.rng.Float64())
	if a.move() {
		if sum := a.len.relax(a.lane, limit); sum <= limit {
			a.sum = sum
			a.keep()
			return
		}
	}
	for k := len(a.undo) - 1; k >= 0; k-- {
		u := a.undo[k]
		a.set(u.i, u.t, -u.by)
	}
}

// keep takes the current lanes as the best plan if whole lengths for them have
// a sum within the target.
func (a *anneal) keep() {
	if wholeBound(a.sum) > a.most {
		return
	}
	if r := a.len.least(a.most); r != nil {
		a.best = a.c.runsOf(a.lane, r)
		a.most = totalLength(a.best) - 1
	}
}

// move changes the lanes at random; false when the change breaks a rule.
func (a *anneal) move() bool {
	t := a.rng.IntN(a.t)
	if a.rng.IntN(3) == 0 {
		return a.exchange(t)
	}
	i := a.wanting()
	a.set(i, t, 1)
	for tries := 0; a.used[t] > a.c.cap; tries++ {
		j := a.holder(t)
		if tries == 20 || j == i || a.all[j] == 1 {
			return false
		}
		a.set(j, t, -1)
	}
	return a.allowed(i, t)
}

// exchange moves a lane of run t to another run, against one from there if
// that is full.
func (a *anneal) exchange(t int) bool {
	if a.t == 1 || a.used[t] == 0 {
		return false
	}
	u := a.rng.IntN(a.t - 1)
	if u >= t {
		u++
	}
	i := a.holder(t)
	by := int64(1)
	if a.c.need[i].noSplit {
		by = a.lane[i][t]
	}
	a.set(i, t, -by)
	a.set(i, u, by)
	for a.used[u] > a.c.cap {
		j := a.holder(u)
		if j == i {
			return false
		}
		by := int64(1)
		if a.c.need[j].noSplit {
			by = a.lane[j][u]
		}
		a.set(j, u, -by)
		a.set(j, t, by)
		if a.used[t] > a.c.cap || !a.allowed(j, t) {
			return false
		}
	}
	return a.allowed(i, u)
}

// wanting picks an order to give a lane to: mostly one that holds the lengths
// up.
func (a *anneal) wanting() int {
	if a.rng.IntN(4) > 0 {
		lp := a.len.lp[0]
		if k := a.rng.IntN(a.t); lp.y[k] > 0 {
			if i := a.len.owner(k); i >= 0 {
				return i
			}
		}
	}
	return a.rng.IntN(len(a.lane))
}

// holder picks a lane of run t at random and gives its order.
func (a *anneal) holder(t int) int {
	n := len(a.lane)
	for i := a.rng.IntN(n); ; i = (i + 1) % n {
		if a.lane[i][t] > 0 {
			return i
		}
	}
}

// allowed reports whether order i may be in run t as things stand.
func (a *anneal) allowed(i, t int) bool {
	c := a.c
	if c.need[i].noSplit && split(a.lane[i]) {
		return false
	}
	if c.share >= len(c.need) && c.apart == nil {
		return true
	}
	shares := 0
	for j := range a.lane {
		if a.lane[j][t] > 0 {
			if shares++; j != i && c.apart != nil && c.apart[i][j] {
				return false
			}
		}
	}
	return shares <= c.share
}
