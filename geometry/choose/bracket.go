package choose

import (
	"maps"
	"math"
	"slices"
)

// A bound of the LP has a part of a run where a plan has a run or none. So it is
// raised by cases: so many runs at most, or more (J. Desrosiers, F. Soumis,
// M. Desrochers, "Routing with time windows by column generation", Networks 14, 1984,
// for the number of tours). Runs are counted by grade and length only, so that the run
// that is worth most is found as before. The case of the least bound is parted next;
// at any moment the least of all cases is a bound. The first cases are the tools: one
// of them, with some mixes of inks and what these cost to enter, or two at least.

// bracket is such a search.
type bracket struct {
	open  []bracketed
	work  int64
	limit int64
}

// bracketed is a case.
type bracketed struct {
	t     *task
	from  *master // of the case that it is a part of; its own where it is solved
	done  bool    // solved as far as it will be
	bound float64
	enter int64
}

func (c *bracketed) value() float64 { return c.bound + float64(c.enter) }

// tools parts the LP of all tools by what they cost to enter. Of beds that others
// serve as well, too, since their tools may cost less.
func (b *bracket) tools(p *Problem, all *task, m *master, bound int64) {
	if two := slices.Sorted(maps.Values(p.leastEntries())); len(two) > 1 {
		b.open = append(b.open, bracketed{all, m, true, float64(bound), two[0] + two[1]})
	}
	whole := p.task(all.ctx, upTo(len(p.Beds)), func(int) bool { return true })
	for _, e := range p.entries() {
		t := whole.some(func(g *grade) bool { return p.Beds[g.bed].Tool == e.Tool && (e.Mixes == nil || e.Mixes[g.mix]) })
		if t.whole() {
			b.open = append(b.open, bracketed{t, m, false, float64(bound), e.Cost})
		}
	}
}

// entries lists what tools cost to enter.
func (p *Problem) entries() []Entry {
	if p.Entries != nil {
		return p.Entries
	}
	var out []Entry
	for _, b := range p.Beds {
		if !slices.ContainsFunc(out, func(e Entry) bool { return e.Tool == b.Tool }) {
			out = append(out, Entry{Tool: b.Tool, Cost: p.LeastEnter})
		}
	}
	return out
}

// leastEntries is the least that each tool costs to enter.
func (p *Problem) leastEntries() map[int]int64 {
	least := map[int]int64{}
	for _, e := range p.entries() {
		if v, known := least[e.Tool]; !known || e.Cost < v {
			least[e.Tool] = e.Cost
		}
	}
	return least
}

// some returns the task with some of its grades.
func (t *task) some(keep func(*grade) bool) *task {
	out := *t
	out.grades, out.need = nil, nil
	for k := range t.grades {
		if keep(&t.grades[k]) {
			out.grades, out.need = append(out.grades, t.grades[k]), append(out.need, t.need[k])
		}
	}
	return &out
}

// least is what no case undercuts.
func (b *bracket) least() (at int) {
	for i := range b.open {
		if b.open[i].value() < b.open[at].value() {
			at = i
		}
	}
	return at
}

// overtaking is how far a case is solved above the next.
const overtaking = 5e-4

// raise parts the case of the least bound, or solves it, until the work is spent or
// nothing is left to be parted.
func (b *bracket) raise() {
	for b.work < b.limit && len(b.open) > 0 {
		at := b.least()
		c := &b.open[at]
		if c.t.ctx.Err() != nil {
			return
		}
		if !c.done {
			// Where it is above the next case, that is parted first.
			until := math.Inf(1)
			for i := range b.open {
				if i != at {
					until = math.Min(until, b.open[i].value()-float64(c.enter))
				}
			}
			// A little above it, or two of one bound would be looked at in turns.
			until = math.Max(until, c.bound) * (1 + overtaking)
			m, bound := c.t.lower(nil, c.from, until, b.limit-b.work)
			b.work += m.work + 1
			c.from, c.done, c.bound = m, m.bound <= until, math.Max(c.bound, float64(bound))
			continue
		}
		rule, n, ok := c.from.fraction()
		if !ok {
			return
		}
		few, many := rule, rule
		few.most, few.n = true, n
		many.n = n + 1
		parts := [2]bracketed{*c, *c}
		for i, r := range []count{few, many} {
			t := *c.t
			t.counts = append(slices.Clone(t.counts), r)
			parts[i].t, parts[i].done = &t, false
		}
		b.open[at] = parts[0]
		b.open = append(b.open, parts[1])
	}
}

// fraction returns the rule to part a case by; n is the whole number below that of its
// runs. That is the number of all runs, where it is not whole, or else of a grade, or of
// those of some length at least. It is false where all are about whole.
func (m *master) fraction() (best count, n float64, ok bool) {
	most := 0.0
	try := func(c count, weight float64) {
		runs := 0.0
		for r, x := range m.x {
			if m.col[r].grade != spared && c.holds(m.col[r].grade, m.col[r].r) {
				runs += x
			}
		}
		below := math.Floor(runs)
		part := math.Min(runs-below, below+1-runs)
		if part <= wholeEnough {
			return
		}
		if v := weight * part * math.Pow(below+1, fewerRuns); v > most {
			best, n, most = c, below, v
		}
	}
	grades := len(m.t.grades)
	if try(newCount(grades, func(int) int64 { return 0 }), 1); most > 0 {
		return best, n, true
	}
	var costs []float64
	for r, x := range m.x {
		if c := &m.col[r]; c.grade != spared && x > 1e-4 {
			costs = append(costs, m.t.grades[c.grade].a*float64(c.r))
		}
	}
	slices.Sort(costs)
	for only := -1; only < grades; only++ {
		of, weight := func(k int) bool { return only < 0 || only == k }, 1.0
		if only >= 0 {
			weight = oneGrade
		}
		for _, v := range slices.Compact(costs) {
			try(newCount(grades, func(k int) int64 {
				if !of(k) {
					return never
				}
				return m.turnAt(k, v)
			}), weight)
		}
	}
	return best, n, most > 0
}

// wholeEnough is how far from whole a number is that is worth a case. Of several, the
// one furthest from whole is taken, but rather one of few runs and of all grades: at the
// same work that proved 0.03 per cent more over the families of 1,000 orders.
const (
	wholeEnough = 0.04
	fewerRuns   = -0.3
	oneGrade    = 0.7
)

// newCount returns a rule on the runs from some length on, by grade.
func newCount(grades int, low func(grade int) int64) count {
	var c count
	for k := range grades {
		c.low = append(c.low, low(k))
	}
	return c
}

// turnAt returns the first turn of a grade at which the length of a run costs so
// much.
func (m *master) turnAt(k int, cost float64) int64 {
	for _, s := range m.spans[k] {
		if m.t.grades[k].a*float64(s.low) >= cost*(1-1e-9) {
			return s.low
		}
	}
	return never
}
