package colour

import (
	"fmt"
	"math"
	"slices"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// placeJudge judges by where readings were taken: across the web, and along the run.
type placeJudge struct{ *judge }

// all compares left with right, and lane with lane.
func (j placeJudge) all() {
	for _, g := range j.groups {
		left, right := g.of(func(p *Patch) bool { return p.Side == "left" }), g.of(func(p *Patch) bool { return p.Side == "right" })
		if len(left) > 0 && len(right) > 0 {
			l, r := cielab.Mean(left), cielab.Mean(right)
			d := cielab.DE00(l, r)
			j.out.Sides = append(j.out.Sides, Sides{g.patch.Name, round(d, 3), l, r})
			j.check(g, "sides", d, j.tol.Sides, 0, fmt.Sprintf("%s: left and right differ by dE00 %s (%s allowed); seen from the left, the right %s", g.patch.Name, say.Fixed(d, 1), say.Plain(j.tol.Sides, 2), way(l, r)))
		}
		j.lanes(g)
	}
}

func (j placeJudge) lanes(g *group) {
	lanes := map[int][]cielab.Lab{}
	var means []cielab.Lab
	for _, r := range g.list {
		if r.Patch.Lane > 0 {
			lanes[r.Patch.Lane] = append(lanes[r.Patch.Lane], r.Lab)
		}
	}
	if len(lanes) < 2 {
		return
	}
	var order []int
	for n := range lanes {
		order = append(order, n)
	}
	slices.Sort(order)
	for _, n := range order {
		means = append(means, cielab.Mean(lanes[n]))
	}
	all := cielab.Mean(means)
	for i, n := range order {
		d := cielab.DE00(means[i], all)
		j.out.Lanes = append(j.out.Lanes, LaneShift{n, g.patch.Name, means[i], round(d, 3)})
		j.check(g, "lane", d, j.tol.Sides, 0, fmt.Sprintf("lane %d: %s is dE00 %s off the mean of all lanes (%s allowed); it %s", n, g.patch.Name, say.Fixed(d, 1), say.Plain(j.tol.Sides, 2), way(all, means[i])))
	}
}

// drift looks for changes over the run.
func (j placeJudge) drift() {
	if !j.placed {
		if slices.ContainsFunc(j.groups, func(g *group) bool { return len(g.list) > 1 }) {
			j.note("no drift is looked for: the files don't say metre, frame or time of every reading")
		}
		return
	}
	for _, ink := range j.run.Inks {
		solid, base := j.solidOf(ink.Name), j.base(ink)
		if solid == nil || ink.Kind == "technical" {
			continue
		}
		xs, labs := series(solid)
		j.out.Drift = append(j.out.Drift, colourDrift(ink.Name, xs, labs, j.tol.DriftSolid)...)
		if base == nil || ink.Kind == "varnish" {
			continue
		}
		g := j.middle(ink.Name)
		if g == nil {
			continue
		}
		var at, values []float64
		for _, s := range g.steps {
			if v, err := value(ink, base.near(s.frame), solid.near(s.frame), s.lab); err == nil {
				at, values = append(at, s.metre), append(values, v)
			}
		}
		j.out.Drift = append(j.out.Drift, toneDrift(ink.Name, g.patch.measured().Percent, at, values, j.tol.DriftTone)...)
	}
	if j.paper != nil {
		xs, labs := series(j.paper)
		j.out.Drift = append(j.out.Drift, colourDrift("paper", xs, labs, j.tol.DriftSolid)...)
	}
	if len(j.out.Drift) > 0 {
		j.missing()
	}
}

// middle returns the readings of the ink's tint nearest to a half.
func (j placeJudge) middle(ink string) (best *group) {
	for _, g := range toneJudge(j).tints(ink) {
		if best == nil || math.Abs(g.patch.measured().Percent-50) < math.Abs(best.patch.measured().Percent-50) {
			best = g
		}
	}
	return best
}

func series(g *group) (xs []float64, labs []cielab.Lab) {
	for _, s := range g.steps {
		xs, labs = append(xs, s.metre), append(labs, s.lab)
	}
	return xs, labs
}
