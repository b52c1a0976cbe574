package plan

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"quoin/geometry"
	"quoin/geometry/trials"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/say"
)

// turned checks how an order's labels stand against how its rolls pay out. A label that
// isn't turned has its bottom against the travel, and its left, top and right are there
// when it is turned by 90, 180 and 270 degrees counter-clockwise. What the press prints
// last is wound last, and comes off first, unless it is wound up once more.
func (c *nightCheck) turned(run *seenRun, order string, own *int) {
	winding := c.all[order].Winding
	if winding == nil {
		return
	}
	turn := c.Groups[run.Group-1].Turn
	if own != nil {
		turn = *own
	}
	sides := []string{"bottom", "left", "top", "right"}
	leads := turn/90 + 2*(c.presses[run.Press].Finishing.Windings+1)
	if side := sides[leads%4]; turn%90 != 0 || !strings.Contains(winding.String(), side+" leads") {
		c.fault("%s: %s is turned %d degrees, the %s comes first; %s was ordered", run.Name, order, turn, side, winding)
	}
}

// limits checks that nobody gets more than he takes, and that the rest is told as
// scrap. A frame is printed whole: what one lane of it, or one station, makes too much
// is taken.
func (c *nightCheck) limits() {
	made, scrap, step := maps.Clone(c.printed), map[string]int64{}, map[string]int64{}
	for i := range c.Runs {
		run := &c.Runs[i]
		for _, o := range run.Orders {
			made[o.Order] += o.Ordered + o.Overs
			scrap[o.Order] += o.Scrap
			if step[o.Order] = 1; !c.rules.Mixed {
				step[o.Order] = int64(run.Rows)
			}
		}
	}
	for id, n := range made {
		x := c.all[id]
		if x == nil || step[id] == 0 { // printed, and wanted no more
			continue
		}
		overs := cmp.Or(x.Overs, c.rules.Overs)
		if overs == nil {
			if scrap[id] != 0 {
				c.fault("%s takes what it gets, and %d are scrap", id, scrap[id])
			}
			continue
		}
		limit := x.Quantity + int64(float64(x.Quantity)*overs.Float()+1e-6)
		over, frame := max(0, n-limit), (x.Quantity+step[id]-1)/step[id]*step[id]
		switch {
		case c.rules.Scrap && scrap[id] != over:
			c.fault("%s: %d are scrap, %d more than the %d that are taken", id, scrap[id], over, limit)
		case !c.rules.Scrap && (n > max(limit, frame) || scrap[id] != 0):
			c.fault("%s: %d of %d are made, %d are taken, %d scrap", id, n, x.Quantity, limit, scrap[id])
		}
	}
}

// pins checks what the planner asked for of single orders.
func (c *nightCheck) pins() {
	runs, with := map[string][]string{}, map[string]map[string]bool{}
	for i := range c.Runs {
		for _, o := range c.Runs[i].Orders {
			runs[o.Order] = append(runs[o.Order], c.Runs[i].Name)
		}
	}
	if fmt.Sprint(c.Pins) != fmt.Sprint(c.rules.Pins) {
		c.fault("pinned are %v, told %v", c.rules.Pins, c.Pins)
	}
	for _, id := range c.rules.Pins.TakenOut {
		if len(runs[id]) > 0 {
			c.fault("%s is taken out, and printed in %v", id, runs[id])
		}
	}
	for _, set := range c.rules.Pins.Apart {
		for i, a := range set {
			for _, b := range set[:i] {
				if slices.ContainsFunc(runs[a], func(r string) bool { return slices.Contains(runs[b], r) }) {
					c.fault("%s and %s are apart, and printed in %v and %v", a, b, runs[a], runs[b])
				}
			}
		}
	}
	for id := range c.all {
		with[id] = map[string]bool{id: true}
	}
	for range c.rules.Pins.Together { // as often as sets can hang together
		for _, set := range c.rules.Pins.Together {
			for _, a := range set {
				for _, b := range set {
					maps.Copy(with[a], with[b])
				}
			}
		}
	}
	for i := range c.Runs {
		for _, o := range c.Runs[i].Orders {
			want := maps.Clone(with[o.Order])
			delete(want, o.Order)
			if !slices.Equal(slices.Sorted(slices.Values(o.With)), slices.Sorted(maps.Keys(want))) {
				c.fault("%s is together with %v, told %v", o.Order, want, o.With)
			}
			for other := range want {
				if len(runs[other]) > 0 && (len(runs[other]) > 1 || runs[other][0] != c.Runs[i].Name) {
					c.fault("%s is in %s, %s in %v", o.Order, c.Runs[i].Name, other, runs[other])
				}
			}
		}
	}
}

// wished draws a night with wishes: mixed lanes, limits of overs, scrap, splices, pins.
func wished(t testing.TB, seed uint64) ([]job.Order, *night.Rules) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 41))
	r := nighttest.MoneyRules(t)
	r.House.Dies, r.Day, r.Nights = nighttest.Dies(t), time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), 1+rng.IntN(2)
	r.Mixed, r.Scrap = seed%4 == 1, rng.IntN(2) == 0
	for _, p := range []*job.Press{r.House.Press, r.Presses[0]} {
		p.Prices.PerOver, p.Prices.PerSplice, p.Prices.PerSorted = 0.001, 0.05, 0.002
	}
	if seed%4 == 2 {
		r.House.Roll.Splices = new(true)
	}
	if rng.IntN(2) == 0 {
		overs := geometry.Share(rng.IntN(8)) * geometry.Percent
		r.Overs = &overs
	}
	var b strings.Builder
	b.WriteString("order,quantity,label,material,inks,winding,labels-per-roll,overs,splices,due,flags\n")
	n := 5 + rng.IntN(9)
	for i := range n {
		fmt.Fprintf(&b, "o%d,%d,%s,%s,%q,\"face in, %s leads\",%d,%s,%s,2026-03-0%d,%s\n", i, 200+rng.IntN(9000), []string{"50x75mm", "60x40mm"}[rng.IntN(2)],
			[]string{"paper", "film"}[rng.IntN(2)], []string{"C,M,Y,K", "C,M,Y,K,Gold"}[rng.IntN(2)], []string{"top", "bottom"}[rng.IntN(2)], 700+500*rng.IntN(3),
			[]string{"", "3%", "20%"}[rng.IntN(3)], []string{"", "yes", "no"}[rng.IntN(3)], 1+rng.IntN(r.Nights), []string{"", "", "", "alone", "no-split"}[rng.IntN(5)])
	}
	all := nighttest.Orders(t, b.String())
	if seed%4 == 3 { // of one kind, so that they can be together
		for _, i := range []int{0, 1, 2, 3} {
			all[i].Label, all[i].Material, all[i].Inks, all[i].Alone, all[i].Due = all[0].Label, all[0].Material, all[0].Inks, false, all[0].Due
			all[i].Winding = all[0].Winding
		}
		r.Pins = night.Pins{Together: [][]string{{"o0", "o1"}}, Apart: [][]string{{"o1", "o2", "o3"}}}
		if rng.IntN(2) == 0 {
			r.Pins.TakenOut = []string{fmt.Sprint("o", n-1)}
		}
	}
	return all, r
}

// TestEveryWishIsKept proves nights with wishes from their JSON.
func TestEveryWishIsKept(t *testing.T) {
	for seed := range uint64(trials.Number(t, "", 8, 60)) {
		all, r := wished(t, seed)
		proveDrawn(t, seed, all, r)
	}
}

// proveDrawn makes the plan of a night that was drawn, and proves it from its JSON.
func proveDrawn(t *testing.T, seed uint64, all []job.Order, r *night.Rules) {
	t.Helper()
	p, err := Make(t.Context(), all, r, nil)
	if say.KindOf(err) == say.NotFit { // its pins can't be kept
		return
	}
	text, wrong := json.Marshal(p)
	if err = cmp.Or(err, wrong); err != nil {
		t.Fatal(err)
	}
	for _, fault := range nightFaults(text, all, r) {
		t.Errorf("case %d: %s", seed, fault)
	}
}
