package gang

import (
	"slices"
	"sync"
)

// farther is a search that goes on elsewhere: where it stands, and the helpings
// that it had, which the one in this process had not.
type farther struct {
	at     *Spent
	had    []int64
	behind []int64
}

// worthSending is the least helping that is handed over: a quarter of a second, a
// hundred times what handing over takes.
var worthSending int64 = StepsPerSecond / 4

// settled reports whether no cheaper plan of group i is left to be found.
func (n *night) settled(i int) bool {
	if at := n.far[i].at; at != nil {
		return at.Bounds.Proved
	}
	return n.solvers[i].settled()
}

// spend lets the open groups search: the short helpings here, the long ones
// elsewhere where somebody takes them.
func (n *night) spend(open []int, share, spent []int64) {
	var here, there []int
	for k, i := range open {
		if n.limits.Elsewhere != nil && (share[k] >= worthSending || n.far[i].at != nil) {
			there = append(there, k)
		} else {
			here = append(here, k)
		}
	}
	var sent sync.WaitGroup
	var lost []int
	var mu sync.Mutex
	for _, k := range there {
		sent.Go(func() {
			i := open[k]
			f := &n.far[i]
			h := &Helping{n.problems[i], n.limits.Seed + uint64(i), append(slices.Clone(f.had), share[k])}
			at, err := n.limits.Elsewhere(n.ctx, h)
			mu.Lock()
			defer mu.Unlock()
			if err != nil {
				lost = append(lost, k)
				return
			}
			f.at, f.had, f.behind, spent[k] = at, h.Steps, append(f.behind, share[k]), at.Used
			if n.better != nil && at.Bounds.Proved {
				n.better(i, at.Plan, at.Bounds)
			}
		})
	}
	each(len(here), func(x int) { spent[here[x]] = n.here(open[here[x]], share[here[x]]) })
	sent.Wait()
	// What did not come is spent here; the search comes to the same.
	each(len(lost), func(x int) { spent[lost[x]] = n.here(open[lost[x]], share[lost[x]]) })
}

// here lets group i search in this process, behind all that it searched elsewhere.
func (n *night) here(i int, steps int64) int64 {
	s, f := n.solvers[i], &n.far[i]
	for _, before := range f.behind {
		s.search(before)
	}
	f.at, f.behind = nil, nil
	before := s.m.used
	s.search(steps)
	f.had = append(f.had, steps)
	return s.m.used - before
}
