package plan

import (
	"cmp"
	"slices"

	"quoin/impose/job"
	"quoin/impose/night"
)

// score is how good groups are: orders that miss their days, by priority, first, then
// by how much, then money.
type score struct{ missed, late, money int64 }

func (s score) compare(o score) int {
	return cmp.Or(cmp.Compare(s.missed, o.missed), cmp.Compare(s.late, o.late), cmp.Compare(s.money, o.money))
}

func (s score) plus(o score) score {
	return score{s.missed + o.missed, s.late + o.late, s.money + o.money}
}

// clockwork scores groups on their presses without looking for the best order of the
// runs: each night's set-ups stand as each is nearest to the one before.
type clockwork struct {
	rules  *night.Rules
	tables map[*job.Press]*table
	shifts map[*job.Press]*shiftwork
	pieces map[*group][]piece
	cost   map[*group]int64
}

// shiftwork is what is known of a press: what passes between any two set-ups.
type shiftwork struct {
	ids   map[string]int
	sets  []*group     // of each set-up, one that has it
	known [][]*passing // by the set-up before, from 1, and after
}

// piece is a run as it is scored.
type piece struct {
	set   int
	slot  slot
	first slot // before it was decided which days are kept
	chore chore
}

func newClockwork(r *night.Rules, p *Plan) *clockwork {
	c := &clockwork{rules: r, tables: map[*job.Press]*table{}, shifts: map[*job.Press]*shiftwork{}, pieces: map[*group][]piece{}, cost: map[*group]int64{}}
	for _, t := range p.tables {
		c.tables[t.press] = &table{p: p, press: t.press, hours: t.hours, set: t.set, free: t.free}
		c.shifts[t.press] = &shiftwork{ids: map[string]int{}, known: [][]*passing{nil}}
	}
	return c
}

// of scores the groups of one press; they are all of it.
func (c *clockwork) of(press *job.Press, groups []*group) score {
	t := c.tables[press]
	var all []piece
	cost := int64(0)
	for _, g := range groups {
		all = append(all, c.cut(g)...)
		cost += c.cost[g]
	}
	best := score{}
	for n := range mostDecided {
		x, chores := c.shifts[press].inOrder(t, all)
		x.money += cost
		if n == 0 || x.compare(best) < 0 {
			best = x
		}
		if x.missed == 0 {
			break
		}
		slots := make([]slot, len(all))
		for i := range all {
			slots[i] = all[i].first
		}
		decide(chores, t.free).make(slots, chores, t.hours.night, max(c.rules.Nights, 1)-1)
		for i := range all {
			all[i].slot = slots[i]
		}
	}
	return best
}

// inOrder scores the pieces of a press slot by slot, and puts them in the order of
// those. It returns what each takes with what changes before it.
func (w *shiftwork) inOrder(t *table, all []piece) (out score, chores []chore) {
	slices.SortStableFunc(all, func(a, b piece) int { return a.slot.compare(b.slot) })
	chores = make([]chore, len(all))
	last, at := -1, t.free
	for i := 0; i < len(all); {
		j := i
		for j < len(all) && all[j].slot == all[i].slot {
			j++
		}
		for _, k := range w.nearest(t, last, all[i:j]) {
			x := &all[i+k]
			p := w.pass(t, last, x.set)
			chores[i+k] = chore{x.chore.ticks + p.ticks, x.chore.dues}
			out.money += p.cost
			at, last = at+p.ticks+x.chore.ticks, x.set
			for _, d := range x.chore.dues {
				if at > d.At {
					out.missed, out.late = out.missed+d.Weight, out.late+d.Weight*(at-d.At)
				}
			}
		}
		i = j
	}
	return out, chores
}

// nearest orders the pieces of a slot: those of one set-up together, and each set-up
// behind the one that it follows at the least cost.
func (w *shiftwork) nearest(t *table, last int, some []piece) []int {
	of := map[int][]int{}
	var open []int
	for k := range some {
		if of[some[k].set] == nil {
			open = append(open, some[k].set)
		}
		of[some[k].set] = append(of[some[k].set], k)
	}
	out := make([]int, 0, len(some))
	for len(open) > 0 {
		best := 0
		for i := range open[1:] {
			if w.pass(t, last, open[i+1]).cost < w.pass(t, last, open[best]).cost {
				best = i + 1
			}
		}
		last = open[best]
		out = append(out, of[last]...)
		open = slices.Delete(open, best, best+1)
	}
	return out
}

// pass is what passes between two set-ups; -1 is what the press stands set up with.
func (w *shiftwork) pass(t *table, from, to int) passing {
	row := w.known[from+1]
	if to < len(row) && row[to] != nil {
		return *row[to]
	}
	before := t.set
	if from >= 0 {
		before = w.sets[from].set()
	}
	for len(row) <= to {
		row = append(row, nil)
	}
	x := t.passes(before, w.sets[to])
	row[to] = &x
	w.known[from+1] = row
	return x
}

// cut returns the runs of a group.
func (c *clockwork) cut(g *group) []piece {
	if known, ok := c.pieces[g]; ok {
		return known
	}
	t, w := c.tables[g.press], c.shifts[g.press]
	key := g.set().Key()
	id, known := w.ids[key]
	if !known {
		id = len(w.sets)
		w.ids[key], w.sets, w.known = id, append(w.sets, g), append(w.known, nil)
	}
	one := &table{p: t.p, press: t.press, hours: t.hours, list: g.runs(0, c.rules)}
	out := make([]piece, len(one.list))
	for i, n := range one.nights() {
		run := &one.list[i]
		at := slot{night: n, priority: run.priority}
		out[i] = piece{id, at, at, chore{t.ticks(run), t.dues(run)}}
	}
	c.pieces[g] = out
	c.cost[g] = runsCost(g, g.plan.Length, len(g.plan.Runs), c.rules) + reeling{g, c.rules}.of(&g.plan)
	return out
}

// all scores groups on all presses.
func (c *clockwork) all(groups []*group) (sum score) {
	for press := range c.tables {
		sum = sum.plus(c.of(press, slices.DeleteFunc(slices.Clone(groups), func(g *group) bool { return g.press != press })))
	}
	return sum
}
