package choose

import (
	"cmp"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// Limits of looking for the cheapest runs. Half of the work is for the beginnings.
const (
	beginningWork   = 280_000 // for each order that a beginning is worth
	fewestBegun     = 4
	mostBegun       = 16
	finalistOf      = 4    // beginnings, one is improved further
	turnsAbout      = 2    // of annealing, the LP and geometry/gang in a round
	annealed        = 5    // the part of the work of a beginning that is annealing
	knownOf, knownN = 8, 3 // of so many beginnings so many begin with the known runs
	surest          = 8    // beginnings, of which three in four that cost the same are enough
)

// planned looks for the cheapest runs of the task, from known ones, which may be none,
// and from its own beginnings, with a guide, if any. It spends about so much work.
//
// Where a search ends depends on where it began, and to go on longer helps little: over
// the thirty families of a night of 1,000 orders the best of four searches costs 0.24 per
// cent less than one of four times their work. So there are as many beginnings as the
// work is enough for, of which the best go on, fewer and fewer of them and each with more
// work (successive halving: K. Jamieson, A. Talwalkar, "Non-stochastic best arm
// identification and hyperparameter optimization", AISTATS 2016). Of few orders most end at
// the same cost, and then that is it.
func (t *task) planned(known []cast, g *guide, orders int, rng *rand.Rand, limit int64, work *int64) []cast {
	n := &renewal{t: t, guide: g, orders: orders, rng: rng, work: work, most: fewRuns}
	n.anew = n.byGang
	begun := int(min(max(limit/beginningWork/int64(max(len(t.id), 1)), fewestBegun), mostBegun))
	found := n.begun(known, begun, limit/2)
	if len(found) == 0 {
		return known
	}
	if sure(t, found) {
		return lowest(t, found, 1)[0]
	}
	keep := begun / finalistOf
	for rounds := bits.Len(uint(keep)); keep > 0; keep /= 2 {
		found = lowest(t, found, keep)
		for i := range found {
			found[i] = n.improved(found[i], limit/2/int64(rounds*len(found)))
			n.guide.note(found[i])
		}
	}
	return lowest(t, found, 1)[0]
}

// begun returns where so many searches end, from known runs and from annealing, in equal
// parts of the work.
func (n *renewal) begun(known []cast, searches int, limit int64) (found [][]cast) {
	part := limit / int64(searches)
	for i := 0; i < searches && !sure(n.t, found); i++ {
		from, list := *n.work, known
		if i%knownOf >= knownN || known == nil {
			list = n.t.anneal(n.rng, part/annealed, n.work)
		}
		if list != nil {
			list = n.run(list, from+part)
			found = append(found, list)
			n.guide.note(list)
		}
	}
	return found
}

// sure reports whether most of the searches ended at the least cost.
func sure(t *task, found [][]cast) bool {
	if len(found) < surest {
		return false
	}
	least, same := math.Inf(1), 0
	for _, list := range found {
		switch v := t.costs(list); {
		case v < least*(1-1e-9):
			least, same = v, 1
		case v <= least*(1+1e-9):
			same++
		}
	}
	return 4*same >= 3*len(found)
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
