package gang

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
)

// pinned is the search where orders are to be together or apart. It shares the
// orders out over cells, each searched as a problem of its own: one that holds
// orders which are to be together is one run, and none holds two that are to be
// apart. The problem without the pins is searched beside them: what it proves
// bounds the cost, and its plan is taken where it happens to keep them.
type pinned struct {
	p     *Problem
	free  *solver
	of    []int // by order, its unit: the first of those it stays with
	foes  map[[2]int]bool
	large []int // units of several orders
	at    []int // by order, its index in the core
	cells [][]int
	cost  int64
	known map[string]*solver
	ended bool // no order that moves saves anything, and all cells are settled
}

// Steps that go into a cell when it is first looked at, and for each order of it.
const (
	cellSteps  = 2000
	orderSteps = 50
)

// newPinned makes a pinned search that has its first plan, if it finds any.
func newPinned(ctx context.Context, p Problem, seed uint64, better func(Plan, Bounds)) (*solver, error) {
	free, err := newSolver(ctx, p.relaxed(), seed, nil)
	if err != nil {
		return nil, err
	}
	s := &solver{
		p: p, c: free.c, m: newMeter(ctx, 0), rng: rand.New(rand.NewPCG(seed, uint64(len(p.Orders)))),
		proof: free.proof, cost: noCost, effort: 20_000, better: better,
	}
	x := &pinned{p: &s.p, free: free, of: p.units(), foes: map[[2]int]bool{}, known: map[string]*solver{}, at: make([]int, len(p.Orders))}
	s.pins = x
	for at, i := range s.c.id {
		x.at[i] = at
	}
	for _, pair := range p.Apart {
		a, b := x.of[pair[0]], x.of[pair[1]]
		x.foes[[2]int{a, b}], x.foes[[2]int{b, a}] = true, true
	}
	for i, u := range x.of {
		if i != u && !slices.Contains(x.large, u) {
			x.large = append(x.large, u)
		}
	}
	x.begin(s)
	return s, nil
}

// begin gives orders that stay together a cell for each set, and puts the others
// into the first cell that holds none that they are to be apart from.
func (x *pinned) begin(s *solver) {
	for _, u := range x.large {
		x.cells = append(x.cells, []int{u})
	}
	sets := len(x.cells)
	for u, is := range x.of {
		if u != is || slices.Contains(x.large, u) {
			continue
		}
		k := slices.IndexFunc(x.cells[sets:], func(cell []int) bool { return !x.quarrel(cell, u) })
		if k < 0 {
			x.cells, k = append(x.cells, nil), len(x.cells)-sets
		}
		x.cells[sets+k] = append(x.cells[sets+k], u)
	}
	x.cost = x.price(s, x.cells)
	x.offer(s)
}

// quarrel reports whether a unit is to be apart from one of a cell.
func (x *pinned) quarrel(cell []int, u int) bool {
	return slices.ContainsFunc(cell, func(v int) bool { return x.foes[[2]int{u, v}] })
}

// oneRun reports whether a cell is one run.
func (x *pinned) oneRun(cell []int) bool {
	return slices.ContainsFunc(cell, func(u int) bool { return slices.Contains(x.large, u) })
}

// orders lists those of a cell, rising.
func (x *pinned) orders(cell []int) (list []int) {
	for i, u := range x.of {
		if slices.Contains(cell, u) {
			list = append(list, i)
		}
	}
	return list
}

// search returns that of a cell, in at most so many runs; nil where it has no
// plan.
func (x *pinned) search(s *solver, cell []int, most int) *solver {
	if x.oneRun(cell) {
		most = 1
	}
	orders := x.orders(cell)
	key := fmt.Sprint(most, orders)
	if one, known := x.known[key]; known {
		s.m.spend(10)
		return one
	}
	part := x.free.p
	part.Orders, part.MaxRuns = nil, most
	for _, i := range orders {
		part.Orders = append(part.Orders, x.p.Orders[i])
	}
	one, err := newSolver(s.m.ctx, part, s.rng.Uint64(), nil)
	s.m.spend(int64(orderSteps * len(orders)))
	if err == nil {
		s.lend(one, cellSteps)
	}
	if err != nil || one.best == nil {
		one = nil
	}
	x.known[key] = one
	return one
}

// most shares the runs that are allowed out over the cells; 0 sets no limit.
func (x *pinned) most(cells [][]int) (each, more int) {
	if x.p.MaxRuns == 0 {
		return 0, 0
	}
	left, open := x.p.MaxRuns, 0
	for _, cell := range cells {
		if x.oneRun(cell) {
			left--
		} else {
			open++
		}
	}
	if open == 0 || left < open {
		return 1, 0
	}
	return left / open, left % open
}

// price returns what cells cost together; noCost where one has no plan.
func (x *pinned) price(s *solver, cells [][]int) (sum int64) {
	x.each(s, cells, func(one *solver) {
		if one == nil {
			sum = noCost
		} else if sum < noCost {
			sum += one.cost
		}
	})
	return sum
}

func (x *pinned) each(s *solver, cells [][]int, do func(*solver)) {
	most, more := x.most(cells)
	for _, cell := range cells {
		n := most
		if more > 0 && !x.oneRun(cell) {
			n, more = n+1, more-1
		}
		do(x.search(s, cell, n))
	}
}

// offer offers the runs of all cells as the plan.
func (x *pinned) offer(s *solver) {
	if x.cost >= s.cost {
		return
	}
	var runs []run
	k := 0
	x.each(s, x.cells, func(one *solver) {
		orders := x.orders(x.cells[k])
		k++
		for _, r := range one.best {
			mine := run{r: r.r}
			for _, p := range r.parts {
				mine.parts = append(mine.parts, part{x.at[orders[one.c.id[p.at]]], p.lanes})
			}
			runs = append(runs, mine)
		}
	})
	s.offer(runs)
}

// searchPinned spends what the meter allows: by turns on the problem without
// pins, on orders that change cells, and on the cells.
func (s *solver) searchPinned() {
	x := s.pins
	for s.m.spend(100) && !s.settled() {
		s.lend(x.free, s.effort)
		if pl := x.free.c.planOf(&x.free.p, x.free.best); len(pl.Runs) > 0 && pl.checkPins(x.p) == nil {
			s.offer(x.free.best)
		}
		quiet := false
		s.m.part(s.effort, func() { quiet = x.move(s) && !s.m.done() })
		settled := true
		x.each(s, x.cells, func(one *solver) {
			if one == nil {
				return
			}
			s.lend(one, s.effort/int64(2*len(x.cells)))
			settled = settled && one.settled()
		})
		x.cost = x.price(s, x.cells)
		x.offer(s)
		x.ended = quiet && settled && x.free.settled()
		s.effort *= 2
	}
}

// lend lets another search spend up to so many steps of this one's.
func (s *solver) lend(to *solver, steps int64) {
	if s.m.done() {
		return
	}
	before := to.m.used
	to.m.ctx = s.m.ctx
	to.search(max(1, min(steps, s.m.limit-s.m.used)))
	s.m.spend(to.m.used - before)
}

// move lets units change over to other cells, change places, and joins cells, as
// long as that saves something. It reports whether nothing does any more.
func (x *pinned) move(s *solver) bool {
	for improved := true; improved; {
		improved = false
		for _, u := range s.rng.Perm(len(x.of)) {
			if x.of[u] != u {
				continue
			}
			for k := 0; k <= len(x.cells); k++ {
				if s.m.done() {
					return false
				}
				improved = x.try(s, x.moved(u, k)) || improved
			}
			for v := range x.of {
				if s.m.done() {
					return false
				}
				if v > u && x.of[v] == v {
					improved = x.try(s, x.swapped(u, v)) || improved
				}
			}
		}
		for a := range x.cells {
			for b := a + 1; b < len(x.cells); b++ {
				if improved = x.try(s, x.joined(a, b)) || improved; b >= len(x.cells) || s.m.done() {
					break
				}
			}
		}
	}
	return !s.m.done()
}

// try takes cells that cost less, and reports whether it did. Orders that are to
// be apart are never tried together.
func (x *pinned) try(s *solver, cells [][]int) bool {
	if s.m.spend(20); cells == nil {
		return false
	}
	for _, cell := range cells {
		for k, u := range cell {
			if x.quarrel(cell[:k], u) {
				return false
			}
		}
	}
	cost := x.price(s, cells)
	if cost >= x.cost {
		return false
	}
	x.cells, x.cost = cells, cost
	x.offer(s)
	return true
}

// without returns the cells as they are, but for units; each is a copy.
func (x *pinned) without(units ...int) [][]int {
	out := make([][]int, len(x.cells))
	for k, cell := range x.cells {
		out[k] = slices.DeleteFunc(slices.Clone(cell), func(u int) bool { return slices.Contains(units, u) })
	}
	return out
}

func (x *pinned) cellOf(u int) int {
	return slices.IndexFunc(x.cells, func(cell []int) bool { return slices.Contains(cell, u) })
}

// moved returns the cells with a unit in another one, or in one of its own.
func (x *pinned) moved(u, to int) [][]int {
	if to == x.cellOf(u) {
		return nil
	}
	out := append(x.without(u), nil)
	out[to] = append(out[to], u)
	return filled(out)
}

// swapped returns the cells with two units in each other's place.
func (x *pinned) swapped(u, v int) [][]int {
	a, b := x.cellOf(u), x.cellOf(v)
	if a == b || len(x.cells[a]) == 1 && len(x.cells[b]) == 1 {
		return nil
	}
	out := x.without(u, v)
	out[a], out[b] = append(out[a], v), append(out[b], u)
	return out
}

// joined returns the cells with two of them as one.
func (x *pinned) joined(a, b int) [][]int {
	if b >= len(x.cells) {
		return nil
	}
	out := x.without()
	out[a] = append(out[a], out[b]...)
	return slices.Delete(out, b, b+1)
}

func filled(cells [][]int) [][]int {
	return slices.DeleteFunc(cells, func(cell []int) bool { return len(cell) == 0 })
}
