package colour

import (
	"cmp"
	"fmt"
	"slices"

	"quoin/impose/say"
)

// Judge holds readings against aims and tolerances.
func Judge(r *PressRun, all *Readings, aims *Aims) *Report {
	j := &judge{run: r, aims: aims, tol: DefaultTolerances(), groups: groups(all), placed: all.Placed}
	if aims.House != nil {
		j.tol = aims.House.Tolerances
	}
	j.out = &Report{
		Schema: Schema, Job: r.Job, Run: r.Path, RunM: round(float64(r.Run.Frames)*r.Layout.RepeatMM/1000, 3),
		Verdict: Pass, Measured: all.Files, Unmatched: all.Unmatched, Tolerances: j.tol,
		Inks: []InkResult{}, Overprints: []Colour{}, Greys: []Grey{}, Opacity: []Opacity{}, Sides: []Sides{}, Lanes: []LaneShift{},
		Drift: []Drift{}, Checks: []Check{}, Curves: []Curve{}, Fewer: []FewerInks{}, Notes: []string{}, Worst: []Check{}, Strip: []Colour{},
	}
	if all.Files == nil {
		j.out.Measured = []Measured{}
	}
	if all.Unmatched == nil {
		j.out.Unmatched = []Unmatched{}
	}
	if all.Reckoned {
		j.note("metres are worked out from times, at the planned %s m/min from the first reading on", say.Plain(r.Run.SpeedMPerMin, 2))
	}
	j.paper = j.first(func(p *Patch) bool { return p.What == "paper" })
	j.bare = j.first(func(p *Patch) bool { return p.What == "bare" })
	j.judgePaper()
	for _, ink := range r.Inks {
		if ink.Kind != "technical" {
			j.judgeInk(ink)
		}
	}
	j.judgeMixes()
	j.judgeSpread()
	j.judgeOpacity()
	places := placeJudge{j}
	places.all()
	places.drift()
	j.strip()
	j.conclude()
	return j.out
}

// judge gathers the report.
type judge struct {
	run         *PressRun
	aims        *Aims
	tol         Tolerances
	groups      []*group
	paper, bare *group // nil where they were not measured
	placed      bool
	out         *Report
}

func (j *judge) note(text string, args ...any) {
	j.out.Notes = append(j.out.Notes, fmt.Sprintf(text, args...))
}

// first returns the first group of patches of a kind, nil if there is none.
func (j *judge) first(is func(*Patch) bool) *group {
	for _, g := range j.groups {
		if is(g.patch) {
			return g
		}
	}
	return nil
}

// check holds a value against a tolerance.
func (j *judge) check(g *group, what string, value, tolerance, metre float64, text string) {
	j.add(Check{Patch: g.patch.Name, Number: g.patch.Number, What: what, Value: round(value, 3), Tolerance: tolerance, M: round(metre, 1), Text: text, part: value / tolerance})
}

// add judges a check by the part of the tolerance that it takes.
func (j *judge) add(c Check) {
	c.Verdict = Pass
	switch {
	case c.part > 1:
		c.Verdict = Stop
	case c.part > j.tol.LookFrom/100:
		c.Verdict = Look
	}
	j.out.Checks = append(j.out.Checks, c)
}

// at names a metre, where it is known.
func (j *judge) at(metre float64) string {
	if !j.placed {
		return ""
	}
	return fmt.Sprintf(" at metre %s", say.Fixed(metre, 0))
}

// checkAim holds a colour against its aim, at its worst frame.
func (j *judge) checkAim(g *group, c *Colour, what string, tolerance float64) {
	if c.WorstDE != nil {
		j.check(g, what, *c.WorstDE, tolerance, c.WorstM, fmt.Sprintf("%s: dE00 %s from its aim%s (%s allowed); its mean %s",
			c.Patch, say.Fixed(*c.WorstDE, 1), j.at(c.WorstM), say.Plain(tolerance, 2), way(*c.Aim, c.Lab)))
	}
}

func (j *judge) judgePaper() {
	if j.paper == nil {
		j.note("no paper was measured: without it there are no tone values")
		return
	}
	aim, ok := j.aims.Of(j.run, j.paper.patch)
	j.out.Paper = j.paper.colour(aim, ok)
	if j.paper.patch.base != "" && !ok {
		j.note("the white underprint stands for the paper: the printing condition's own paper is no aim for it; a house file's paper is")
	}
	j.checkAim(j.paper, j.out.Paper, "paper", j.tol.Paper)
}

// strip lists every kind of patch for the picture.
func (j *judge) strip() {
	for _, g := range j.groups {
		aim, ok := j.aims.Of(j.run, g.patch)
		j.out.Strip = append(j.out.Strip, *g.colour(aim, ok))
	}
}

// conclude takes the worst of all checks, and names three patches.
func (j *judge) conclude() {
	order := slices.Clone(j.out.Checks)
	slices.SortStableFunc(order, func(a, b Check) int { return cmp.Compare(b.part, a.part) })
	for _, c := range order {
		if c.Verdict.Worse(j.out.Verdict) {
			j.out.Verdict = c.Verdict
		}
		if len(j.out.Worst) < 3 && !slices.ContainsFunc(j.out.Worst, func(w Check) bool { return w.Patch == c.Patch }) {
			j.out.Worst = append(j.out.Worst, c)
		}
	}
	if len(j.out.Unmatched) > 0 {
		j.missing()
		j.note("%d readings belong to no patch", len(j.out.Unmatched))
	}
}
