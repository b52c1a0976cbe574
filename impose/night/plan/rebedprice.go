package plan

import (
	"cmp"
	"fmt"
	"slices"

	"quoin/geometry/schedule"
	"quoin/impose/job"
)

// price returns what groups cost with the changes between them, on each press in
// the order that spares most.
func (b *rebedding) price(groups []*group) int64 {
	sum := int64(0)
	on := map[*job.Press][]*group{}
	for _, g := range groups {
		sum += g.plan.Cost + reeling{g, b.rules}.of(&g.plan)
		on[g.press] = append(on[g.press], g)
	}
	for _, mine := range on {
		sum += b.change(mine)
	}
	return sum
}

// number tells a group from all others whose changes were asked for.
func (b *rebedding) number(g *group) int {
	n, known := b.numbers[g]
	if !known {
		n = len(b.numbers)
		b.numbers[g] = n
	}
	return n
}

// change returns what passes between groups on one press at least.
func (b *rebedding) change(groups []*group) int64 {
	if len(groups) == 0 || len(groups) == 1 && b.rules.SetUp == nil {
		return 0
	}
	slices.SortFunc(groups, func(x, y *group) int { return cmp.Compare(x.orders[0].Index, y.orders[0].Index) })
	key := ""
	for _, g := range groups {
		key += fmt.Sprint(b.number(g), " ")
	}
	if c, known := b.changes[key]; known {
		return c
	}
	t := &table{press: groups[0].press, p: &Plan{rules: b.rules}}
	n := len(groups)
	p := &schedule.Problem{Ticks: make([]int64, n), Dues: make([][]schedule.Due, n)}
	costs := make([]int64, n*n)
	for i := range n {
		for k := range n {
			pair := [2]*group{groups[i], groups[k]}
			v, known := b.pairs[pair]
			if !known {
				v = t.passes(groups[i].set(), groups[k]).cost
				b.pairs[pair] = v
			}
			costs[i*n+k] = v
		}
	}
	first := b.rules.SetUp[groups[0].press].Set
	p.Change = func(from, to int) (int64, int64) {
		if from < 0 {
			return 0, t.passes(first, groups[to]).cost
		}
		return 0, costs[from*n+to]
	}
	c := schedule.Solve(p, int64(2000*n), b.rules.Seed).Cost
	b.changes[key] = c
	return c
}
