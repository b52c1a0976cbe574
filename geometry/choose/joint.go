package choose

import (
	"cmp"
	"context"
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"quoin/geometry/gang"
)

// Limits of the search over the runs of all beds together.
const (
	mostLanes   = 40  // in a run
	mostSorted  = 240 // where their sorting is weighed, by the bound alone
	mostRelaxed = 64  // orders, in one LP
	fewClasses  = 30  // that orders are first taken for, where they are more
	mostDived   = 22  // orders, that the first plan is made of at a time
)

// What the LP of all, its cases and the plan may take, in the caller's steps: the first
// two mostly take less.
const (
	rootParts    = 10
	casesParts   = 3
	plannedParts = 6
)

// jointly reports whether runs of all beds can be looked for together: nothing but
// lanes and lengths decides which orders may share one.
func (p *Problem) jointly(beds []int) bool {
	if len(p.Mixes) == 0 || len(p.Together) > 0 {
		return false
	}
	for _, b := range beds {
		bed := &p.Beds[b]
		if bed.Rigid || bed.Capacity > mostSorted || bed.Capacity > mostLanes && bed.Sort == 0 {
			return false
		}
		for _, o := range bed.Offers {
			if o.Demand > 0 && o.Width > 1 {
				return false
			}
		}
	}
	return true
}

// sorts reports whether lanes that orders share cost more on some bed, which Cost and Bound
// of a choice do not know.
func (p *Problem) sorts(beds []int) bool {
	return slices.ContainsFunc(beds, func(b int) bool { return p.Beds[b].Sort > 0 })
}

// narrow reports whether runs of all beds can be looked for, too, and not just bounded.
func (p *Problem) narrow(beds []int) bool {
	return !slices.ContainsFunc(beds, func(b int) bool { return p.Beds[b].Capacity > mostLanes })
}

// task states the problem on the beds of some tools.
func (p *Problem) task(ctx context.Context, beds []int, tools func(tool int) bool) *task {
	t := &task{ctx: ctx, id: upTo(p.Orders), lane: p.Lane, reels: p.Reels}
	for _, b := range beds {
		bed := &p.Beds[b]
		for x := range p.Mixes {
			mix := &p.Mixes[x]
			if mix.Inks >= len(bed.Ladder) || !tools(bed.Tool) {
				continue
			}
			need, used := make([]int64, p.Orders), false
			for i, o := range bed.Offers {
				if o.Demand > 0 && mix.Kinds[p.Kinds[i]] {
					need[i], used = o.Demand, true
				}
			}
			if rate := bed.Ladder[mix.Inks]; used && rate.Run < never {
				t.grades = append(t.grades, grade{
					bed: b, mix: x, capacity: bed.Capacity, least: max(1, bed.Least),
					a: float64(rate.Length), b: float64(rate.Run), rows: bed.Rows, sort: float64(bed.Sort),
				})
				t.need = append(t.need, need)
			}
		}
	}
	return t
}

// whole reports whether each order has a grade.
func (t *task) whole() bool {
	for i := range t.id {
		if !slices.ContainsFunc(t.need, func(need []int64) bool { return need[i] > 0 }) {
			return false
		}
	}
	return true
}

// joint bounds the runs of all beds together and, where it is planned, looks for some.
// It returns a choice without cells where it finds none.
func (p *Problem) joint(ctx context.Context, beds []int, starts [][]Cell, l gang.Limits, planned bool) Choice {
	var out Choice
	rng := rand.New(rand.NewPCG(l.Seed, uint64(p.Orders)))
	limit := max(l.Steps, 1) * workPerStep
	var tools []int
	for _, b := range beds {
		if t := p.Beds[b].Tool; !slices.Contains(tools, t) {
			tools = append(tools, t)
		}
	}
	all := p.task(ctx, beds, func(int) bool { return true })
	if !all.whole() {
		return out
	}
	best, known, work := all, []cast(nil), int64(0)
	for _, s := range starts {
		known = append(known, all.runs(p, s)...)
	}
	var b bracket
	var root *master
	if p.Orders <= mostRelaxed {
		m, bound := all.lower(known, nil, math.Inf(1), rootParts*limit)
		root = m
		work += m.work
		known = m.basis()
		least := bound + p.Enter*int64(len(tools))
		for _, tool := range tools {
			one := all.some(func(g *grade) bool { return p.Beds[g.bed].Tool == tool })
			if len(tools) < 2 || !one.whole() {
				continue
			}
			// Where the bound of one is above that of all with the next tool, it says no
			// more.
			x, bound := one.lower(nil, m, float64(bound+max(p.Enter, p.LeastEnter)), limit)
			work += x.work
			if v := bound + p.Enter; v < least {
				least, best, known = v, one, x.basis()
			}
		}
		b.tools(p, all, m, bound)
	} else {
		b = p.coarse(all, known, fewClasses, rootParts*limit)
		work += b.work
		known = nil
	}
	from := b.work
	b.limit = from + casesParts*limit
	b.raise()
	work += b.work - from
	if len(b.open) > 0 {
		out.Lanes = int64(b.open[b.least()].value())
	}
	if !planned {
		out.Steps = work / workPerStep
		return out
	}
	list := best.first(known, p, rng, &work)
	for _, s := range starts {
		if x := best.runs(p, s); x != nil && (list == nil || best.costs(x) < best.costs(list)) {
			list = x
		}
	}
	var g *guide
	if root != nil && len(b.open) > 0 {
		g = newGuide(best, root, b.open[b.least()].from)
	}
	list = best.planned(list, g, p.Orders, rng, plannedParts*limit, &work)
	out.Steps = work / workPerStep
	if list == nil || ctx.Err() != nil {
		return out
	}
	out.Cells = best.cells(list)
	return out
}

// coarse bounds the task by classes of its orders, n at first, and more and more of
// them while there is work left.
func (p *Problem) coarse(all *task, known []cast, n int, limit int64) (best bracket) {
	most, work := int64(0), int64(0)
	for ; work < limit; n *= 2 {
		t, at := all.classed(n)
		m, bound := t.lower(moved(known, at), nil, math.Inf(1), limit-work)
		work += m.work
		if bound > most {
			most, best = bound, bracket{}
			least := slices.Sorted(maps.Values(p.leastEntries()))[0]
			best.open = append(best.open, bracketed{t, m, true, float64(bound), least})
		}
		if n >= len(all.id) {
			break
		}
	}
	best.work = work
	return best
}

// moved states runs by the classes of their orders.
func moved(list []cast, at []int32) []cast {
	out := make([]cast, len(list))
	for k, c := range list {
		out[k] = cast{c.grade, c.r, slices.Clone(c.parts)}
		for i := range c.parts {
			out[k].parts[i].at = at[c.parts[i].at]
		}
	}
	return out
}

// first prints orders that lie near each other, on the grade where the LP prints
// most of them and in what they need, some at a time.
func (t *task) first(known []cast, p *Problem, rng *rand.Rand, work *int64) []cast {
	on := make([]int, len(t.id))
	most := make([]float64, len(t.id))
	for i := range on {
		on[i] = -1 - p.Kinds[t.id[i]]
	}
	for k := range known {
		for _, q := range known[k].parts {
			if v := t.made(&known[k], q); v > most[q.at] {
				most[q.at], on[q.at] = v, known[k].grade
			}
		}
	}
	size := func(i int) (d int64) {
		for k := range t.need {
			d = max(d, t.need[k][i])
		}
		return d
	}
	sorted := upTo(len(t.id))
	slices.SortStableFunc(sorted, func(a, b int) int { return cmp.Or(cmp.Compare(on[a], on[b]), cmp.Compare(size(a), size(b))) })
	var list []cast
	parts := (len(sorted) + mostDived - 1) / mostDived
	for k := range parts {
		left := newRest(len(t.id))
		for _, i := range sorted[k*len(sorted)/parts : (k+1)*len(sorted)/parts] {
			left.in[i] = true
		}
		sub := left.of(t)
		come := sub.dive(sub.moved(known, t, sub.places(p.Orders)), p.Orders, rng, work)
		if come == nil {
			return nil
		}
		list = append(list, t.moved(come, sub, t.places(p.Orders))...)
	}
	return list
}
