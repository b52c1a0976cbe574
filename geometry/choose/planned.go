package choose

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// Limits of looking for the cheapest runs. Half of the work is for the beginnings.
const (
	beginnings = 16
	withKnown  = 6 // of them begin with the known runs
	finalists  = 4 // that are improved further
	halvings   = 3 // rounds, each of half as many finalists as the one before
	turnsAbout = 2 // of annealing, the LP and geometry/gang in a round
	annealed   = 5 // the part of the work of a beginning that is annealing
)

// planned looks for the cheapest runs of the task, from known ones, which may be none,
// and from its own beginnings. It spends about so much work.
//
// Where a search ends depends on where it began, and to go on longer helps little: over
// the thirty families of a night of 1,000 orders the best of four searches costs 0.24 per
// cent less than one of four times their work. So there are many beginnings, of which the
// best go on, fewer and fewer of them and each with more work (successive halving:
// K. Jamieson, A. Talwalkar, "Non-stochastic best arm identification and hyperparameter
// optimization", AISTATS 2016).
func (t *task) planned(known []cast, orders int, rng *rand.Rand, limit int64, work *int64) []cast {
	n := &renewal{t: t, orders: orders, rng: rng, work: work, most: fewRuns}
	n.anew = n.byGang
	found := n.begun(known, limit/2)
	if len(found) == 0 {
		return known
	}
	keep := finalists
	for range halvings {
		found = lowest(t, found, keep)
		keep = max(1, keep/2)
		for i := range found {
			found[i] = n.improved(found[i], limit/2/halvings/int64(len(found)))
		}
	}
	return lowest(t, found, 1)[0]
}

// begun returns where searches from known runs and from annealing end, in equal parts of
// the work.
func (n *renewal) begun(known []cast, limit int64) (found [][]cast) {
	part := limit / beginnings
	for i := range beginnings {
		from, list := *n.work, known
		if i >= withKnown || known == nil {
			list = n.t.anneal(n.rng, part/annealed, n.work)
		}
		if list != nil {
			found = append(found, n.run(list, from+part))
		}
	}
	return found
}

// improved anneals runs with links, and prints some of them anew by the LP and by
// geometry/gang, in turns.
func (n *renewal) improved(list []cast, limit int64) []cast {
	better := func(x []cast) {
		if x != nil && n.t.costs(x) < n.t.costs(list) {
			list = x
		}
	}
	part := limit / turnsAbout / 3
	for range turnsAbout {
		better(n.t.relink(list, n.rng, part, n.work))
		n.anew, n.most = n.byLP, manyRuns
		better(n.run(list, *n.work+part))
		n.anew, n.most = n.byGang, fewRuns
		better(n.run(list, *n.work+part))
	}
	return list
}

// lowest returns so many of the lists that cost least, the cheapest first.
func lowest(t *task, found [][]cast, n int) [][]cast {
	slices.SortStableFunc(found, func(a, b []cast) int { return cmp.Compare(t.costs(a), t.costs(b)) })
	return found[:min(n, len(found))]
}
