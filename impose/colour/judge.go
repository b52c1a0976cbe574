package colour

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"quoin/impose/colour/cielab"
)

// Judge holds readings against aims and tolerances.
func Judge(r *Run, all *Readings, aims *Aims) *Report {
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
		j.note("metres are reckoned from times, at the planned %s m/min from the first reading on", number(r.Run.SpeedMPerMin))
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
	j.judgePlaces()
	j.judgeDrift()
	j.strip()
	j.conclude()
	return j.out
}

// judge gathers the report.
type judge struct {
	run         *Run
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

// first gives the first group of patches of a kind, nil if there is none.
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
	return fmt.Sprintf(" at metre %.0f", metre)
}

// checkAim holds a colour against its aim, at its worst frame.
func (j *judge) checkAim(g *group, c *Colour, what string, tolerance float64) {
	if c.WorstDE != nil {
		j.check(g, what, *c.WorstDE, tolerance, c.WorstM, fmt.Sprintf("%s: dE00 %.1f from its aim%s (%s allowed); its mean %s",
			c.Patch, *c.WorstDE, j.at(c.WorstM), number(tolerance), way(*c.Aim, c.Lab)))
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

// base gives what a patch is printed on: the white for white's own patches is
// the bare stock.
func (j *judge) base(ink Ink) *group {
	if ink.Kind == "white" && j.bare != nil {
		return j.bare
	}
	return j.paper
}

// solidOf gives the group of an ink's solid that stands on nothing but its base.
func (j *judge) solidOf(ink string) *group {
	return j.first(func(p *Patch) bool { return p.What == "solid" && p.measured().Ink == ink && !p.overInk() })
}

func (j *judge) judgeInk(ink Ink) {
	res := InkResult{Name: ink.Name, Kind: ink.Kind, Tones: []Tone{}}
	solid := j.solidOf(ink.Name)
	if solid == nil {
		if ink.Kind != "varnish" && j.asked(ink.Name) {
			j.note("%s: its solid was not measured", ink.Name)
			j.missing()
		}
		j.out.Inks = append(j.out.Inks, res)
		return
	}
	aim, aimed := j.aims.Of(j.run, solid.patch)
	res.Solid = solid.colour(aim, aimed)
	against, within := j.tol.SpotSolid, j.tol.SpotRun
	if ink.Kind == "process" {
		against, within = j.tol.ProcessSolid, j.tol.ProcessRun
	}
	if aim.Tolerance > 0 {
		against = aim.Tolerance
	}
	switch {
	case aimed:
		j.checkAim(solid, res.Solid, "solid", against)
		res.Advice = densityAdvice(j.base(ink), solid.mean, aim.Lab, against)
	case ink.Kind == "spot" || ink.Kind == "process":
		j.note("%s: nothing says what its solid should be; only its steadiness is judged", ink.Name)
	}
	if len(solid.steps) > 1 {
		c := res.Solid
		j.check(solid, "run", c.RunDE, within, c.RunM, fmt.Sprintf("%s: dE00 %.1f from the run's own mean%s (%s allowed)", ink.Name, c.RunDE, j.at(c.RunM), number(within)))
	}
	if ink.Kind != "varnish" {
		res.Tones = j.tones(ink, solid)
	}
	j.out.Inks = append(j.out.Inks, res)
}

// asked reports whether the frame has a solid of the ink.
func (j *judge) asked(ink string) bool {
	return slices.ContainsFunc(j.run.Targets, func(p Patch) bool { return p.What == "solid" && p.measured().Ink == ink })
}

// missing keeps a verdict from being pass.
func (j *judge) missing() {
	if Look.worse(j.out.Verdict) {
		j.out.Verdict = Look
	}
}

// tints gives the groups of an ink's tints, the lightest first.
func (j *judge) tints(ink string) []*group {
	var out []*group
	for _, g := range j.groups {
		if g.patch.What == "tint" && g.patch.measured().Ink == ink && !g.patch.overInk() {
			out = append(out, g)
		}
	}
	slices.SortFunc(out, func(a, b *group) int { return cmp.Compare(a.patch.measured().Percent, b.patch.measured().Percent) })
	return out
}

// value gives an ink's tone value.
func value(ink Ink, paper, solid, tint cielab.Lab) (float64, error) {
	if i := process(ink.Name); i >= 0 && ink.Kind == "process" {
		return cielab.ToneValue(cielab.Process(i), paper.XYZ(), solid.XYZ(), tint.XYZ())
	}
	return cielab.SpotToneValue(paper, solid, tint)
}

func (j *judge) tones(ink Ink, solid *group) []Tone {
	out := []Tone{}
	base := j.base(ink)
	if base == nil {
		return out
	}
	for _, g := range j.tints(ink.Name) {
		nominal := g.patch.measured().Percent
		v, err := value(ink, base.mean, solid.mean, g.mean)
		if err != nil {
			j.note("%s: no tone value: %v", g.patch.Name, err)
			continue
		}
		t := Tone{Nominal: nominal, Value: round(v, 3), Increase: round(cielab.Increase(v, nominal), 3), Readings: len(g.list)}
		if aim, ok := j.toneAim(ink, g.patch, solid.patch); ok {
			t.Aim = &aim
			j.checkTone(ink, g, base, solid, &t)
		}
		out = append(out, t)
	}
	return out
}

// toneAim gives the tone value that a tint should have: of a spot what the file
// says, of a process ink what the printing condition makes of it.
func (j *judge) toneAim(ink Ink, tint, solid *Patch) (float64, bool) {
	if ink.Kind != "process" {
		return tint.measured().Percent, true
	}
	i := process(ink.Name)
	if i < 0 {
		return 0, false
	}
	var labs [3]cielab.Lab
	for k, part := range [3]float64{0, tint.measured().Percent / 100, 1} {
		var v [4]float64
		v[i] = part
		aim, ok := j.aims.device(v)
		if !ok {
			return 0, false
		}
		labs[k] = aim.Lab
	}
	v, err := value(ink, labs[0], labs[2], labs[1])
	return round(v, 3), err == nil
}

// checkTone holds each frame's tone value against the aim.
func (j *judge) checkTone(ink Ink, g, base, solid *group, t *Tone) {
	worst := 0.0
	for _, s := range g.steps {
		v, err := value(ink, base.near(s.frame), solid.near(s.frame), s.lab)
		if err != nil {
			continue
		}
		if off := v - *t.Aim; t.WorstOff == nil || math.Abs(off) > math.Abs(worst) {
			worst = off
			t.WorstOff, t.WorstM = &worst, round(s.metre, 1)
		}
	}
	if t.WorstOff == nil {
		return
	}
	word := "more"
	if worst < 0 {
		word = "less"
	}
	j.check(g, "tone", math.Abs(worst), j.tol.ToneValue, t.WorstM, fmt.Sprintf("%s prints %.1f points %s than its aim of %.1f%s (%s allowed)",
		g.patch.Name, math.Abs(worst), word, *t.Aim, j.at(t.WorstM), number(j.tol.ToneValue)))
}

// judgeMixes holds overprints and greys against theirs.
func (j *judge) judgeMixes() {
	for _, g := range j.groups {
		switch g.patch.What {
		case "overprint":
			aim, ok := j.aims.Of(j.run, g.patch)
			c := g.colour(aim, ok)
			j.checkAim(g, c, "overprint", j.tol.Overprint)
			j.out.Overprints = append(j.out.Overprints, *c)
		case "grey":
			j.judgeGrey(g)
		}
	}
}

// judgeGrey holds a grey against what the printing condition makes of its tints,
// or, where none is known, against paper's own tinge scaled with lightness.
func (j *judge) judgeGrey(g *group) {
	dark, ok := j.darkest()
	if j.paper == nil || !ok {
		j.note("%s: no aim without paper and the lightness of cyan, magenta and yellow together", g.patch.Name)
		return
	}
	neutral, err := cielab.GreyAim(j.paper.mean, dark, g.mean.L)
	if err != nil {
		j.note("%s: %v", g.patch.Name, err)
		return
	}
	aim, like := neutral, "neutral on this paper"
	if a, ok := j.aims.Of(j.run, g.patch); ok {
		aim, like = a.Lab, "its aim"
	}
	words := "is balanced"
	if off(g.mean, aim) > 0.5 {
		words = "turns " + hueWay(aim, g.mean)
	}
	j.out.Greys = append(j.out.Greys, Grey{g.patch.Name, g.patch.Number, g.mean, aim, round(off(g.mean, aim), 3), round(off(g.mean, neutral), 3), len(g.list), words})
	worst, metre := 0.0, 0.0
	for _, s := range g.steps {
		if d := off(s.lab, aim); d >= worst {
			worst, metre = d, s.metre
		}
	}
	j.check(g, "grey", worst, j.tol.Grey, metre, fmt.Sprintf("%s is %.1f off %s%s (%s allowed); it %s",
		g.patch.Name, worst, like, j.at(metre), number(j.tol.Grey), words))
}

// off gives a difference in a* and b* alone.
func off(a, b cielab.Lab) float64 { return math.Hypot(a.A-b.A, a.B-b.B) }

// darkest gives the lightness of cyan, magenta and yellow in full: as measured,
// or as the printing condition has it.
func (j *judge) darkest() (float64, bool) {
	g := j.first(func(p *Patch) bool {
		v, all := p.cmyk()
		return all && v == [4]float64{1, 1, 1, 0}
	})
	if g != nil {
		return g.mean.L, true
	}
	aim, ok := j.aims.device([4]float64{1, 1, 1, 0})
	return aim.Lab.L, ok
}

// judgeSpread compares the mid-tones of cyan, magenta and yellow.
func (j *judge) judgeSpread() {
	var offs []float64
	aimed := true
	for _, ink := range j.out.Inks {
		if i := process(ink.Name); i < 0 || i > 2 {
			continue
		}
		t, ok := middle(ink.Tones)
		if !ok {
			continue
		}
		off := t.Increase
		if t.Aim != nil {
			off = t.Value - *t.Aim
		} else {
			aimed = false
		}
		offs = append(offs, off)
	}
	if len(offs) < 2 {
		return
	}
	s := slices.Max(offs) - slices.Min(offs)
	j.out.Spread = &Spread{round(s, 3), aimed}
	j.add(Check{Patch: "mid-tones", What: "spread", Value: round(s, 3), Tolerance: j.tol.MidtoneSpread, part: s / j.tol.MidtoneSpread,
		Text: fmt.Sprintf("mid-tones of cyan, magenta and yellow spread over %.1f points (%s allowed)", s, number(j.tol.MidtoneSpread))})
}

// middle gives the tint nearest to a half, within the mid-tones.
func middle(tones []Tone) (best Tone, ok bool) {
	for _, t := range tones {
		if d := math.Abs(t.Nominal - 50); d <= 15 && (!ok || d < math.Abs(best.Nominal-50)) {
			best, ok = t, true
		}
	}
	return best, ok
}

// judgeOpacity compares white over black with white alone.
func (j *judge) judgeOpacity() {
	for _, ink := range j.run.Inks {
		if ink.Kind != "white" {
			continue
		}
		over := j.first(func(p *Patch) bool { return p.What == "solid" && p.overInk() && p.measured().Ink == ink.Name })
		alone := j.solidOf(ink.Name)
		if alone == nil {
			alone = j.first(func(p *Patch) bool { return p.What == "paper" && p.base == ink.Name })
		}
		if over == nil || alone == nil {
			continue
		}
		v, err := cielab.Opacity(over.mean.XYZ(), alone.mean.XYZ())
		if err != nil {
			continue
		}
		j.out.Opacity = append(j.out.Opacity, Opacity{ink.Name, round(v, 2)})
		if j.tol.Opacity > 0 {
			j.add(Check{Patch: over.patch.Name, Number: over.patch.Number, What: "opacity", Value: round(v, 2), Tolerance: j.tol.Opacity,
				Text: fmt.Sprintf("%s covers %.0f %% (at least %s wanted)", ink.Name, v, number(j.tol.Opacity)), part: j.tol.Opacity / math.Max(v, 1e-6)})
		}
	}
}

// judgePlaces compares left with right, and lane with lane.
func (j *judge) judgePlaces() {
	for _, g := range j.groups {
		left, right := g.of(func(p *Patch) bool { return p.Side == "left" }), g.of(func(p *Patch) bool { return p.Side == "right" })
		if len(left) > 0 && len(right) > 0 {
			l, r := cielab.Mean(left), cielab.Mean(right)
			d := cielab.DE00(l, r)
			j.out.Sides = append(j.out.Sides, Sides{g.patch.Name, round(d, 3), l, r})
			j.check(g, "sides", d, j.tol.Sides, 0, fmt.Sprintf("%s: left and right differ by dE00 %.1f (%s allowed); seen from the left, the right %s", g.patch.Name, d, number(j.tol.Sides), way(l, r)))
		}
		j.judgeLanes(g)
	}
}

func (j *judge) judgeLanes(g *group) {
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
		j.check(g, "lane", d, j.tol.Sides, 0, fmt.Sprintf("lane %d: %s is dE00 %.1f off the mean of all lanes (%s allowed); it %s", n, g.patch.Name, d, number(j.tol.Sides), way(all, means[i])))
	}
}

// judgeDrift looks for changes over the run.
func (j *judge) judgeDrift() {
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
		g := j.midGroup(ink.Name)
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

// midGroup gives the readings of the ink's tint nearest to a half.
func (j *judge) midGroup(ink string) (best *group) {
	for _, g := range j.tints(ink) {
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
		if c.Verdict.worse(j.out.Verdict) {
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
