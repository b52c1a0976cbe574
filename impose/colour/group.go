package colour

import (
	"cmp"
	"math"
	"slices"

	"quoin/impose/colour/cielab"
)

// group gathers the readings of all patches that show the same.
type group struct {
	patch *Patch // the first of them
	list  []Reading
	steps []step // by frame
	mean  cielab.Lab
}

// step is what was read of a group in one frame.
type step struct {
	frame int
	metre float64
	lab   cielab.Lab
	n     int
}

// groups sorts readings by what their patches show, in the frame's order.
func groups(all *Readings) []*group {
	var out []*group
	found := map[string]*group{}
	for _, r := range all.List {
		g := found[r.Patch.Name]
		if g == nil {
			g = &group{patch: r.Patch}
			found[r.Patch.Name] = g
			out = append(out, g)
		}
		if r.Patch.Number < g.patch.Number {
			g.patch = r.Patch
		}
		g.list = append(g.list, r)
	}
	for _, g := range out {
		g.gather()
	}
	slices.SortFunc(out, func(a, b *group) int { return cmp.Compare(a.patch.Number, b.patch.Number) })
	return out
}

// gather takes means, frame by frame.
func (g *group) gather() {
	slices.SortStableFunc(g.list, func(a, b Reading) int { return cmp.Compare(a.Frame, b.Frame) })
	var all []cielab.Lab
	for i := 0; i < len(g.list); {
		s := step{frame: g.list[i].Frame}
		var labs []cielab.Lab
		for ; i < len(g.list) && g.list[i].Frame == s.frame; i++ {
			labs = append(labs, g.list[i].Lab)
			s.metre += g.list[i].Metre
		}
		s.n = len(labs)
		s.metre /= float64(s.n)
		s.lab = cielab.Mean(labs)
		g.steps = append(g.steps, s)
		all = append(all, labs...)
	}
	g.mean = cielab.Mean(all)
}

// of returns the readings of some patches only.
func (g *group) of(keep func(*Patch) bool) []cielab.Lab {
	var out []cielab.Lab
	for _, r := range g.list {
		if keep(r.Patch) {
			out = append(out, r.Lab)
		}
	}
	return out
}

// worst returns the frame that lies farthest from a colour.
func (g *group) worst(from cielab.Lab) (de, metre float64) {
	for _, s := range g.steps {
		if d := cielab.DE00(s.lab, from); d > de {
			de, metre = d, s.metre
		}
	}
	return de, metre
}

// near returns the step of the frame, or the nearest one: paper may be read less
// often than ink.
func (g *group) near(frame int) cielab.Lab {
	i, exact := slices.BinarySearchFunc(g.steps, frame, func(s step, f int) int { return cmp.Compare(s.frame, f) })
	switch {
	case exact || i == 0:
		return g.steps[i].lab
	case i == len(g.steps) || frame-g.steps[i-1].frame <= g.steps[i].frame-frame:
		return g.steps[i-1].lab
	}
	return g.steps[i].lab
}

// colour tells a group against its aim.
func (g *group) colour(aim Aim, aimed bool) *Colour {
	c := &Colour{Patch: g.patch.Name, Number: g.patch.Number, Lab: g.mean, Readings: len(g.list)}
	c.RunDE, c.RunM = g.worst(g.mean)
	if aimed {
		de00, de76 := cielab.DE00(g.mean, aim.Lab), cielab.DE76(g.mean, aim.Lab)
		worst, metre := g.worst(aim.Lab)
		c.Aim, c.Source, c.DE00, c.DE76, c.WorstDE, c.WorstM = &aim.Lab, aim.Source, &de00, &de76, &worst, metre
	}
	for _, s := range g.steps {
		step := SeriesStep{M: round(s.metre, 3), Lab: s.lab, Readings: s.n}
		if aimed {
			d := cielab.DE00(s.lab, aim.Lab)
			step.DE00 = &d
		}
		c.Series = append(c.Series, step)
	}
	return c
}

func round(v float64, places int) float64 {
	p := math.Pow10(places)
	return math.Round(v*p) / p
}
