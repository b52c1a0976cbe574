package plan

import (
	"math"
	"testing"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/job"
)

// exactScant is a web of which there is too little.
type exactScant struct {
	press    int
	material string
	web      float64
	left     float64 // metres
}

func (s *exactScant) is(b *exactBed, material string) bool {
	return s.press == b.press && s.material == material && s.web == b.web
}

// exactRunsOf is what one, two or three runs of a group cost and take.
type exactRunsOf struct{ cost, metres float64 }

// lasting lists the least frames of one, two and three runs of a group: more runs cost
// more, and may take less web.
func (n *exactNight) lasting(set, bed int) (out []exactRunsOf) {
	b := &n.beds[bed]
	var needs []int
	for _, i := range n.members(set) {
		needs = append(needs, ceilDiv(n.of.orders[i].quantity, b.rows))
	}
	material, inks := n.about(set)
	frame, once := b.rate(&n.of.terms, material, len(inks))
	add := func(frames, runs int) {
		x := &n.of.terms
		out = append(out, exactRunsOf{frame*float64(frames) + once*float64(runs),
			1.03*b.repeat/1000*float64(frames) + (x.setup+x.perInk*float64(len(inks)))*float64(runs)})
	}
	if b.lanes == 1 {
		add(sumInts(needs), len(needs))
		return out
	}
	r := &exactRuns{b.lanes, shares(b.lanes, len(needs))}
	if one := r.one(needs); one < manyFrames {
		add(one, 1)
	}
	add(r.two(needs), 2)
	add(int(r.three(needs, 1, 0, manyFrames)), 3)
	return out
}

// TestBoundsKnowWhatIsInStock limits the web of which a night of up to four orders takes
// most to a part of that. No bound is above what the exact solver finds, none is
// below that of unlimited stock, and many are above it; no plan costs less than the solver's.
func TestBoundsKnowWhatIsInStock(t *testing.T) {
	above, same, nights, gap := 0, 0, 0, 0.0
	for seed := range trials.Number(t, "QUOIN_STOCK", 24, 100) {
		c := drawExact(seed)
		all, r := c.night(t)
		free := made(t, all, r)
		scant, used := &exactScant{}, map[exactScant]float64{}
		for _, run := range free.Runs {
			press := 0
			if run.Press == exactPresses[1].name {
				press = 1
			}
			k := exactScant{press: press, material: free.Groups[run.Group-1].Material, web: run.WebMM}
			if used[k] += run.WebGrossM; used[k] > scant.left {
				*scant = k
				scant.left = used[k]
			}
		}
		scant.left = math.Floor(scant.left * []float64{0.9, 0.6, 0.3}[seed%3])
		press := r.House.Press
		if scant.press == 1 {
			press = r.Presses[0]
		}
		for _, w := range exactPresses[scant.press].webs {
			lot := job.Lot{Material: scant.material, Width: geometry.FromMM(w)}
			if w == scant.web {
				lot.Length = geometry.FromMM(1000 * scant.left)
			}
			press.Lots = append(press.Lots, lot)
		}
		if scant.left < 1 {
			continue
		}
		p := made(t, all, r)
		want := 100 * c.leastOf(t, scant)
		if len(p.Unplanned) > 0 {
			continue // what is not printed costs nothing
		}
		nights++
		if got := float64(*p.Total.Money); got < want-3 {
			t.Errorf("case %d: %.0f, the exact solver says %.1f", seed, got, want)
		} else if got < want+3 {
			same++
		} else {
			gap = max(gap, 100*(got-want)/want)
		}
		if bound := float64(*p.Bound.Money); bound > want+2 {
			t.Errorf("case %d: the bound is %.0f, the exact solver says %.1f", seed, bound, want)
		}
		switch d := *p.Bound.Money - *free.Bound.Money; {
		case d < -1:
			t.Errorf("case %d: the bound is %d, of unlimited stock %d", seed, *p.Bound.Money, *free.Bound.Money)
		case d > 1:
			above++
		}
	}
	t.Logf("%d nights, %d as the solver says, +%.2f %% at worst; %d bounds above that of unlimited stock", nights, same, gap, above)
	if above < nights/2 {
		t.Errorf("%d of %d bounds are above that of unlimited stock", above, nights)
	}
}
