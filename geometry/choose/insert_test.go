package choose

import (
	"math"
	"math/rand/v2"
	"testing"

	"quoin/geometry/trials"
)

// TestInsertedRunsLeaveNothingOut brings runs that others found into plans. All orders are
// printed, each on one grade, for no more than before. What the runs of a plan waste is what
// it costs above the bound at most, and none is worth more than it costs.
func TestInsertedRunsLeaveNothingOut(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 11))
	put, won := 0, 0
	for trial := range trials.Number(t, "QUOIN_ANNEAL", 40, 1000) {
		k := someTask(rng)
		for i := range k.grades {
			k.grades[i].bed = i
		}
		m, _ := k.lower(nil, nil, math.Inf(1), 1<<40)
		g, work := newGuide(k, m, m), int64(0)
		list := k.anneal(rng, 20_000, &work)
		n := &renewal{t: k, guide: g, orders: len(k.id), rng: rng, work: &work, most: fewRuns}
		n.anew = n.byGang
		for range 20 {
			if _, run := n.insertion(list); run != nil {
				put++
			}
		}
		before := k.costs(list)
		list = n.run(list, work+200_000)
		if v := k.costs(list); v > before*(1+1e-9) {
			t.Errorf("case %d: %.3f of %.3f", trial, v, before)
		} else if v < before*(1-1e-9) {
			won++
		}
		printsAll(t, trial, k, list)
		wasted := 0.0
		for x := range list {
			v := g.waste(&list[x])
			if wasted += v; v < -1e-6*k.cost(&list[x]) {
				t.Errorf("case %d: a run of %.3f is worth %.3f more", trial, k.cost(&list[x]), -v)
			}
		}
		if above := k.costs(list) - m.bound; wasted > above+1e-6*m.bound {
			t.Errorf("case %d: %.6f wasted, %.6f above the bound", trial, wasted, above)
		}
	}
	if put == 0 || won == 0 {
		t.Errorf("%d runs were brought in, %d plans cost less", put, won)
	}
}
