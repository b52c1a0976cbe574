package plan

import (
	"math"
	"slices"
)

// exactGroup is orders that share runs on one bed.
type exactGroup struct {
	bed      *exactBed
	material string
	inks     []string
}

// change prices what passes between two groups on a press.
func (g *exactGroup) change(x *exactTerms, next *exactGroup) float64 {
	minute, cost := exactPresses[g.bed.press].hour*x.hour/60, 0.0
	switch {
	case g.material != next.material:
		cost += x.material * minute
	case g.bed.web != next.bed.web:
		cost += x.web * minute
	}
	for _, ink := range next.inks {
		if !slices.Contains(g.inks, ink) {
			cost += x.inks * minute
		}
	}
	if g.bed.die != next.bed.die {
		cost += x.dies * x.finishHour / 60
	}
	return cost
}

// leastChanges returns what the changes of a press cost in the best order.
func leastChanges(x *exactTerms, groups []exactGroup) float64 {
	best, used := math.Inf(1), make([]bool, len(groups))
	var follow func(last, n int, cost float64)
	follow = func(last, n int, cost float64) {
		if n == len(groups) {
			best = min(best, cost)
			return
		}
		for i := range groups {
			if used[i] {
				continue
			}
			used[i] = true
			more := 0.0
			if last >= 0 {
				more = groups[last].change(x, &groups[i])
			}
			follow(i, n+1, cost+more)
			used[i] = false
		}
	}
	follow(-1, 0, 0)
	return best
}
