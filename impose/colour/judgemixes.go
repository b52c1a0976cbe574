package colour

import (
	"fmt"
	"math"
	"slices"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

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
	j.check(g, "grey", worst, j.tol.Grey, metre, fmt.Sprintf("%s is %s off %s%s (%s allowed); it %s",
		g.patch.Name, say.Fixed(worst, 1), like, j.at(metre), say.Plain(j.tol.Grey, 2), words))
}

// off returns a difference in a* and b* alone.
func off(a, b cielab.Lab) float64 { return math.Hypot(a.A-b.A, a.B-b.B) }

// darkest returns the lightness of cyan, magenta and yellow in full: as measured,
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
		Text: fmt.Sprintf("mid-tones of cyan, magenta and yellow spread over %s points (%s allowed)", say.Fixed(s, 1), say.Plain(j.tol.MidtoneSpread, 2))})
}

// middle returns the tint nearest to a half, within the mid-tones.
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
				Text: fmt.Sprintf("%s covers %s %% (at least %s wanted)", ink.Name, say.Fixed(v, 0), say.Plain(j.tol.Opacity, 2)), part: j.tol.Opacity / math.Max(v, 1e-6)})
		}
	}
}
