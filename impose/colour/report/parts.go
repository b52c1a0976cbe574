package report

import (
	"fmt"
	"slices"

	"quoin/impose/colour"
	"quoin/impose/colour/cielab"
)

// toneChart shows how much more than the file each ink prints, and its aim.
func toneChart(rep *colour.Report) chart {
	c := chart{title: "Tone value increase, points over the file's tint", x: "tint in the file, %", right: 100}
	for _, ink := range rep.Inks {
		if ink.Solid == nil || len(ink.Tones) == 0 {
			continue
		}
		print := line{name: ink.Name, lab: ink.Solid.Lab, points: [][2]float64{{0, 0}}}
		aim := line{name: ink.Name, lab: ink.Solid.Lab, dashed: true, points: [][2]float64{{0, 0}}}
		for _, t := range ink.Tones {
			print.points = append(print.points, [2]float64{t.Nominal, t.Increase})
			if t.Aim != nil {
				aim.points = append(aim.points, [2]float64{t.Nominal, *t.Aim - t.Nominal})
			}
		}
		print.points, aim.points = append(print.points, [2]float64{100, 0}), append(aim.points, [2]float64{100, 0})
		c.lines = append(c.lines, print)
		if len(aim.points) > 2 {
			c.lines = append(c.lines, aim)
		}
	}
	return c
}

// seriesOf returns a colour's difference over the run: from its aim, or else from
// the run's mean.
func seriesOf(name string, col *colour.Colour) line {
	l := line{name: name, lab: col.Lab}
	for _, s := range col.Series {
		d := cielab.DE00(s.Lab, col.Lab)
		if s.DE00 != nil {
			d = *s.DE00
		}
		l.points = append(l.points, [2]float64{s.M, d})
	}
	return l
}

// runChart shows paper and solids over the metres.
func runChart(rep *colour.Report) chart {
	c := chart{title: "Difference from the aim over the run, dE00 (without an aim: from the run's mean)", x: "metre of the run", right: runEnd(rep)}
	if rep.Paper != nil {
		c.lines = append(c.lines, seriesOf("paper", rep.Paper))
	}
	for _, ink := range rep.Inks {
		if ink.Solid != nil {
			c.lines = append(c.lines, seriesOf(ink.Name, ink.Solid))
		}
	}
	return c
}

// runEnd returns the last metre: the plan's, or what was measured beyond it.
func runEnd(rep *colour.Report) float64 {
	end := rep.RunM
	for _, s := range rep.Strip {
		for _, p := range s.Series {
			end = max(end, p.M)
		}
	}
	return end
}

// moved reports whether anything was read at more than one place of the run.
func moved(rep *colour.Report) bool {
	return slices.ContainsFunc(rep.Strip, func(c colour.Colour) bool { return len(c.Series) > 1 })
}

// hex returns a colour as pages name it.
func hex(c cielab.Lab) string {
	r, g, b := c.SRGB()
	return fmt.Sprintf("#%02x%02x%02x", r, g, b)
}

func lab(c cielab.Lab) string { return one(c.L) + " / " + one(c.A) + " / " + one(c.B) }

// checksInOrder puts what is out of tolerance first.
func checksInOrder(rep *colour.Report) []colour.Check {
	out := slices.Clone(rep.Checks)
	rank := map[colour.Verdict]int{colour.Stop: 0, colour.Look: 1, colour.Pass: 2}
	slices.SortStableFunc(out, func(a, b colour.Check) int { return rank[a.Verdict] - rank[b.Verdict] })
	return out
}
