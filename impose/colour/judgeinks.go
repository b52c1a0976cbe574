package colour

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// base returns what a patch is printed on: the white for white's own patches is
// the bare stock.
func (j *judge) base(ink Ink) *group {
	if ink.Kind == "white" && j.bare != nil {
		return j.bare
	}
	return j.paper
}

// solidOf returns the group of an ink's solid that stands on nothing but its base.
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
		j.check(solid, "run", c.RunDE, within, c.RunM, fmt.Sprintf("%s: dE00 %s from the run's own mean%s (%s allowed)", ink.Name, say.Fixed(c.RunDE, 1), j.at(c.RunM), say.Plain(within, 2)))
	}
	if ink.Kind != "varnish" {
		res.Tones = toneJudge{j}.all(ink, solid)
	}
	j.out.Inks = append(j.out.Inks, res)
}

// asked reports whether the frame has a solid of the ink.
func (j *judge) asked(ink string) bool {
	return slices.ContainsFunc(j.run.Targets, func(p Patch) bool { return p.What == "solid" && p.measured().Ink == ink })
}

// missing keeps a verdict from being pass.
func (j *judge) missing() {
	if Look.Worse(j.out.Verdict) {
		j.out.Verdict = Look
	}
}

// toneJudge judges an ink's tints.
type toneJudge struct{ *judge }

// tints returns the groups of an ink's tints, the lightest first.
func (j toneJudge) tints(ink string) []*group {
	var out []*group
	for _, g := range j.groups {
		if g.patch.What == "tint" && g.patch.measured().Ink == ink && !g.patch.overInk() {
			out = append(out, g)
		}
	}
	slices.SortFunc(out, func(a, b *group) int { return cmp.Compare(a.patch.measured().Percent, b.patch.measured().Percent) })
	return out
}

// value returns an ink's tone value.
func value(ink Ink, paper, solid, tint cielab.Lab) (float64, error) {
	if i := process(ink.Name); i >= 0 && ink.Kind == "process" {
		return cielab.ToneValue(cielab.Process(i), paper.XYZ(), solid.XYZ(), tint.XYZ())
	}
	return cielab.SpotToneValue(paper, solid, tint)
}

func (j toneJudge) all(ink Ink, solid *group) []Tone {
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
		if aim, ok := j.aim(ink, g.patch); ok {
			t.Aim = &aim
			j.oneTone(ink, g, base, solid, &t)
		}
		out = append(out, t)
	}
	return out
}

// aim returns the tone value that a tint should have: of a spot what the file
// says, of a process ink what the printing condition makes of it.
func (j toneJudge) aim(ink Ink, tint *Patch) (float64, bool) {
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

// oneTone holds each frame's tone value against the aim.
func (j toneJudge) oneTone(ink Ink, g, base, solid *group, t *Tone) {
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
	j.check(g, "tone", math.Abs(worst), j.tol.ToneValue, t.WorstM, fmt.Sprintf("%s prints %s points %s than its aim of %s%s (%s allowed)",
		g.patch.Name, say.Fixed(math.Abs(worst), 1), word, say.Fixed(*t.Aim, 1), j.at(t.WorstM), say.Plain(j.tol.ToneValue, 2)))
}
