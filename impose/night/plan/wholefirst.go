package plan

import (
	"cmp"
	"math/bits"
	"slices"
)

// wholeFirst orders the shares of a run whose lanes several orders may share, so that few
// lanes are to be sorted: first what fills its lanes, then what fills them together with
// another. Where not many are left, no other order of these has fewer.
func wholeFirst(list []Share, rows int64) {
	slices.SortStableFunc(list, func(a, b Share) int { return cmp.Compare(min(a.Stations%rows, 1), min(b.Stations%rows, 1)) })
	at := slices.IndexFunc(list, func(s Share) bool { return s.Stations%rows != 0 })
	if at < 0 {
		return
	}
	open := slices.Clone(list[at:])
	x := filling{rows: rows}
	for _, s := range open {
		x.of = append(x.of, s.Stations)
	}
	for k, i := range x.order() {
		list[at+k] = open[i]
	}
}

// mostPlaced is of how many orders every order is weighed.
const mostPlaced = 10

// filling is the places of the orders of a run, lane after lane.
type filling struct {
	of   []int64
	rows int64
}

// order returns the orders as they stand one after the other, where none fills its lanes.
func (x filling) order() []int {
	order := x.paired()
	if len(x.of) > mostPlaced {
		return order
	}
	if other := x.fewest(); x.mixed(other) < x.mixed(order) {
		return other
	}
	return order
}

// paired puts two that fill their lanes together beside each other.
func (x filling) paired() (out []int) {
	open, rest := []int{}, []int{}
	for i := range x.of {
		open = append(open, i)
	}
	for len(open) > 0 {
		first := open[0]
		open = open[1:]
		k := slices.IndexFunc(open, func(i int) bool { return (x.of[first]+x.of[i])%x.rows == 0 })
		if k < 0 {
			rest = append(rest, first)
			continue
		}
		out = append(out, first, open[k])
		open = slices.Delete(open, k, k+1)
	}
	return append(out, rest...)
}

// opens is 1 where an order of so many places, behind others, ends inside a lane in which
// no other ended.
func (x filling) opens(before, places int64) int {
	at := before%x.rows + places
	if at%x.rows == 0 || before%x.rows > 0 && at < x.rows {
		return 0
	}
	return 1
}

// mixed counts the lanes that are sorted.
func (x filling) mixed(order []int) (n int) {
	at := int64(0)
	for _, i := range order {
		n += x.opens(at, x.of[i])
		at += x.of[i]
	}
	return n
}

// fewest tries all orders: where the next one begins depends on which stand before it,
// not on how.
func (x filling) fewest() []int {
	all := 1 << len(x.of)
	sum, least, last := make([]int64, all), make([]int, all), make([]int, all)
	for set := 1; set < all; set++ {
		least[set] = all
		for s := set; s != 0; s &= s - 1 {
			i := bits.TrailingZeros(uint(s))
			rest := set &^ (1 << i)
			sum[set] = sum[rest] + x.of[i]
			if v := least[rest] + x.opens(sum[rest], x.of[i]); v < least[set] {
				least[set], last[set] = v, i
			}
		}
	}
	var out []int
	for set := all - 1; set != 0; set &^= 1 << last[set] {
		out = append(out, last[set])
	}
	slices.Reverse(out)
	return out
}

// sorted counts the places in lanes that are sorted, in the best order that is known.
func (x filling) sorted() int64 {
	open := filling{rows: x.rows}
	for _, n := range x.of {
		if n%x.rows != 0 {
			open.of = append(open.of, n)
		}
	}
	order, end := open.order(), int64(0)
	for _, n := range open.of {
		end += n
	}
	n := int64(open.mixed(order)) * x.rows
	if part := end % x.rows; part > 0 {
		n -= x.rows - part
	}
	return n
}
