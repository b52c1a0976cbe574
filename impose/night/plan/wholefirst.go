package plan

import (
	"cmp"
	"slices"
)

// wholeFirst orders the shares of a run whose lanes several orders may share: first
// what fills its lanes, then what fills them together with another, so that few lanes
// are to be sorted.
func wholeFirst(list []Share, rows int64) {
	slices.SortStableFunc(list, func(a, b Share) int { return cmp.Compare(min(a.Stations%rows, 1), min(b.Stations%rows, 1)) })
	at := slices.IndexFunc(list, func(s Share) bool { return s.Stations%rows != 0 })
	if at < 0 {
		return
	}
	open, rest := slices.Clone(list[at:]), []Share{}
	for len(open) > 0 {
		first := open[0]
		open = open[1:]
		k := slices.IndexFunc(open, func(s Share) bool { return (first.Stations+s.Stations)%rows == 0 })
		if k < 0 {
			rest = append(rest, first)
			continue
		}
		list[at], list[at+1] = first, open[k]
		at += 2
		open = slices.Delete(open, k, k+1)
	}
	copy(list[at:], rest)
}
