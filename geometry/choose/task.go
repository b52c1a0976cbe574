package choose

import (
	"context"
	"math"
)

// grade is a bed at what it costs with one mix of inks: it prints the orders that
// need no other inks.
type grade struct {
	bed, mix int
	capacity int64
	a, b     float64 // cost of a frame and of a run
	rows     int64
	sort     float64 // cost of a frame of each lane beyond a multiple of rows
	least    int64   // length of a run
}

// task is orders that are to be printed by runs of some grades.
type task struct {
	ctx    context.Context
	grades []grade
	need   [][]int64 // by grade and order: frames of one lane; 0: not there
	id     []int     // of the orders, in the problem
	counts []count   // rules on how many runs there are
	reels  []int     // by order of the problem: those of one number have lanes of the same cost
	copies []int     // of each order; nil: one
	stand  [][]int   // other orders that each stands for, whose lanes may cost less; nil: none
	lane   func(bed, order int, low, high int64) int64
}

// count is a rule on the number of runs of some lengths.
type count struct {
	low  []int64 // by grade: lengths from there on count
	most bool    // at most so many; else at least
	n    float64
}

// holds reports whether a run of a grade and length counts.
func (c *count) holds(grade int, r int64) bool { return r >= c.low[grade] }

// copy returns how many there are of an order.
func (t *task) copy(i int) int {
	if t.copies == nil {
		return 1
	}
	return t.copies[i]
}

// part is an order's lanes in a run.
type part struct{ at, lanes int32 }

// cast is a run of a grade.
type cast struct {
	grade int // spared: none
	r     int64
	parts []part
}

// spared is the grade of what is made beyond the need.
const spared = -1

// lanes is what a lane of an order costs beside its run of length low to high at
// least.
func (t *task) lanes(g *grade, at int, low, high int64) float64 {
	if t.lane == nil {
		return 0
	}
	least := t.lane(g.bed, t.id[at], low, high)
	if t.stand != nil {
		for _, id := range t.stand[at] { // of each cost one
			least = min(least, t.lane(g.bed, id, low, high))
		}
	}
	return float64(least)
}

// sorting is what so many lanes of an order cost beside a run of a length, at least,
// where they share others of which each is so many rows.
func (g *grade) sorting(lanes, length int64) float64 {
	if g.sort == 0 {
		return 0
	}
	return g.sort * float64(length*(lanes%g.rows))
}

// cost of a run.
func (t *task) cost(c *cast) float64 {
	g := &t.grades[c.grade]
	v := g.a*float64(c.r) + g.b
	for _, p := range c.parts {
		v += float64(p.lanes)*t.lanes(g, int(p.at), c.r, c.r) + g.sorting(int64(p.lanes), c.r)
	}
	return v
}

func (t *task) costs(list []cast) (sum float64) {
	for i := range list {
		sum += t.cost(&list[i])
	}
	return sum
}

// made returns what lanes of a run make of an order, as a share of what it needs.
func (t *task) made(c *cast, p part) float64 {
	d := t.need[c.grade][p.at]
	if d == 0 {
		return 0
	}
	return math.Min(1, float64(int64(p.lanes)*c.r)/float64(d))
}

// upTo lists the numbers from 0 on, so many.
func upTo(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// rest is orders of a task with what is left of each: -1 where nothing is made,
// or else frames on the one grade.
type rest struct {
	left  []int64
	grade []int
	in    []bool
}

func newRest(n int) *rest {
	r := &rest{make([]int64, n), make([]int, n), make([]bool, n)}
	for i := range n {
		r.left[i] = -1
	}
	return r
}

// take notes what a run makes.
func (r *rest) take(t *task, c *cast) {
	for _, p := range c.parts {
		if r.left[p.at] < 0 {
			r.left[p.at] = t.need[c.grade][p.at]
		}
		r.left[p.at] = max(0, r.left[p.at]-int64(p.lanes)*c.r)
		r.grade[p.at] = c.grade
	}
}

// of returns the task that is left: an order that is partly made stays on its
// grade, so that all of it comes from one press, web and die.
func (r *rest) of(t *task) *task {
	out := &task{ctx: t.ctx, grades: t.grades, reels: t.reels, lane: t.lane}
	for i, id := range t.id {
		if r.in[i] && r.left[i] != 0 {
			out.id = append(out.id, id)
		}
	}
	for k := range t.grades {
		need := make([]int64, 0, len(out.id))
		for i, d := range t.need[k] {
			if !r.in[i] || r.left[i] == 0 {
				continue
			}
			if r.left[i] > 0 {
				if d = 0; k == r.grade[i] {
					d = r.left[i]
				}
			}
			need = append(need, d)
		}
		out.need = append(out.need, need)
	}
	return out
}

// places says where the orders of the problem stand in the task, of so many; -1
// for others.
func (t *task) places(orders int) []int32 {
	at := make([]int32, orders)
	for i := range at {
		at[i] = -1
	}
	for i, id := range t.id {
		at[id] = int32(i)
	}
	return at
}

// moved states runs of another task in this one, without the lanes that it
// doesn't need.
func (t *task) moved(list []cast, from *task, at []int32) []cast {
	var out []cast
	for _, c := range list {
		if c.grade == spared {
			continue
		}
		x := cast{grade: c.grade, r: c.r}
		for _, p := range c.parts {
			i := at[from.id[p.at]]
			if i < 0 || t.need[c.grade][i] == 0 {
				continue
			}
			n := min(int64(p.lanes), (t.need[c.grade][i]+c.r-1)/c.r)
			x.parts = append(x.parts, part{i, int32(n)})
		}
		if len(x.parts) > 0 {
			out = append(out, x)
		}
	}
	return out
}
