package choose

import (
	"cmp"
	"fmt"
	"slices"
)

// class is orders that the LP takes for copies of one: each asks for the least that
// one of them asks, so that no plan of them costs more than that of the orders.
type class struct {
	orders []int
	value  float64 // what the orders are worth, by what they need
	least  float64 // what the least of them is
}

// loss is what the LP no longer sees.
func (c *class) loss() float64 { return c.value - c.least*float64(len(c.orders)) }

func (c *class) with(o *class) class {
	return class{slices.Concat(c.orders, o.orders), c.value + o.value, min(c.least, o.least)}
}

// classed returns the task with its orders in so many classes, at least those that no
// grade tells apart, and the class of each order. Two neighbours by need are joined
// where that loses least, again and again.
func (t *task) classed(most int) (*task, []int32) {
	var list []class
	keys := make([]string, len(t.id))
	order := upTo(len(t.id))
	values := make([]float64, len(t.id))
	for i := range t.id {
		keys[i], values[i] = gradesOf(t, i)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(keys[a], keys[b]), cmp.Compare(values[a], values[b])) })
	for _, i := range order {
		list = append(list, class{[]int{i}, values[i], values[i]})
	}
	for len(list) > most {
		best, at := 0.0, -1
		for k := 1; k < len(list); k++ {
			a, b := &list[k-1], &list[k]
			if keys[a.orders[0]] != keys[b.orders[0]] {
				continue
			}
			lost := a.value + b.value - min(a.least, b.least)*float64(len(a.orders)+len(b.orders)) - a.loss() - b.loss()
			if at < 0 || lost < best {
				best, at = lost, k
			}
		}
		if at < 0 {
			break
		}
		list[at-1] = list[at-1].with(&list[at])
		list = slices.Delete(list, at, at+1)
	}
	return t.of(list)
}

// gradesOf says which grades an order has, and what it costs on the first of them as a
// part of a full run.
func gradesOf(t *task, i int) (key string, value float64) {
	for k := range t.grades {
		d, g := t.need[k][i], &t.grades[k]
		if d > 0 && key == "" {
			value = g.a*float64(d)/float64(g.capacity) + t.lanes(g, i, d, d)
		}
		if d > 0 {
			key += fmt.Sprint(k, " ")
		}
	}
	return key, value
}

// reelOf is the number of the orders whose lanes cost what those of one do.
func reelOf(t *task, i int) int {
	if t.lane == nil {
		return 0
	}
	if t.reels == nil {
		return t.id[i]
	}
	return t.reels[t.id[i]]
}

// of returns the task of classes, and the class of each order.
func (t *task) of(list []class) (*task, []int32) {
	out := &task{ctx: t.ctx, grades: t.grades, lane: t.lane}
	at := make([]int32, len(t.id))
	for k := range list {
		for _, i := range list[k].orders {
			at[i] = int32(k)
		}
		var others []int
		seen := []int{reelOf(t, list[k].orders[0])}
		for _, i := range list[k].orders[1:] {
			if n := reelOf(t, i); !slices.Contains(seen, n) {
				seen, others = append(seen, n), append(others, t.id[i])
			}
		}
		out.id, out.copies, out.stand = append(out.id, t.id[list[k].orders[0]]), append(out.copies, len(list[k].orders)), append(out.stand, others)
	}
	for g := range t.grades {
		need := make([]int64, len(list))
		for k := range list {
			for _, i := range list[k].orders {
				if d := t.need[g][i]; need[k] == 0 || d < need[k] {
					need[k] = d
				}
			}
		}
		out.need = append(out.need, need)
	}
	return out, at
}
