package colour

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"

	"quoin/impose/colour/cielab"
	"quoin/impose/say"
)

// densityAdvice reports whether more or less ink would bring a solid to its aim.
// A film so many times as thick is assumed to let that power of the light pass
// (Bouguer's law for each of X, Y and Z, a rule of thumb); what is left then is
// hue, which no amount of ink mends.
func densityAdvice(base *group, solid, aim cielab.Lab, tolerance float64) string {
	if base == nil {
		return ""
	}
	now := cielab.DE00(solid, aim)
	if now <= tolerance/2 {
		return LeaveIt
	}
	paper, s := base.mean.XYZ(), solid.XYZ()
	best, at := now, 1.0
	for k := 0.6; k <= 1.6; k += 0.005 {
		thick := cielab.XYZ{X: passed(paper.X, s.X, k), Y: passed(paper.Y, s.Y, k), Z: passed(paper.Z, s.Z, k)}
		if d := cielab.DE00(thick.Lab(), aim); d < best {
			best, at = d, k
		}
	}
	density := (at - 1) * math.Log10(math.Max(paper.Y, 1e-3)/math.Max(s.Y, 1e-3))
	word := "more"
	if at < 1 {
		word = "less"
	}
	switch {
	case best > 0.7*now:
		return fmt.Sprintf("neither more nor less ink would help: it is the hue (%s at best of %s)", say.Fixed(best, 1), say.Fixed(now, 1))
	case best <= tolerance:
		return fmt.Sprintf("%s ink would help: about %s in density, from dE00 %s to %s", word, say.Signed(density, 2), say.Fixed(now, 1), say.Fixed(best, 1))
	}
	return fmt.Sprintf("%s ink would help, though not enough: about %s in density, from dE00 %s to %s; the rest is hue", word, say.Signed(density, 2), say.Fixed(now, 1), say.Fixed(best, 1))
}

// LeaveIt is said of a solid that is near its aim.
const LeaveIt = "near its aim: leave it"

func passed(paper, solid, k float64) float64 {
	if paper <= 0 || solid <= 0 {
		return max(0, solid)
	}
	return paper * math.Pow(solid/paper, k)
}

// curveStep is how far the points of a correction curve stand apart, in
// percent.
const curveStep = 5

// Curves works out, for every ink whose tints have aims, the tint that would
// print what a tint of the file should: advice for whoever looks after the
// press's curves, never applied to an artwork.
func Curves(rep *Report) []Curve {
	out := []Curve{}
	for _, ink := range rep.Inks {
		prints, okPrints := toneCurve(ink.Tones, func(t Tone) (float64, bool) { return t.Value, true })
		aims, okAims := toneCurve(ink.Tones, func(t Tone) (float64, bool) {
			if t.Aim == nil {
				return 0, false
			}
			return *t.Aim, true
		})
		if !okPrints || !okAims {
			continue
		}
		c := Curve{Ink: ink.Name}
		for tint := 0.0; tint <= 100; tint += curveStep {
			c.Points = append(c.Points, [2]float64{tint, round(solve(prints, aims.at(tint)), 1)})
		}
		out = append(out, c)
	}
	return out
}

// WriteCurves writes the correction curves as a table: the tint of the file, and
// for each ink the tint to print. Tints are in percent.
func WriteCurves(w io.Writer, rep *Report) error {
	c := csv.NewWriter(w)
	head := []string{"tint_percent"}
	for _, curve := range rep.Curves {
		head = append(head, curve.Ink)
	}
	if err := c.Write(head); err != nil {
		return err
	}
	for i := 0; len(rep.Curves) > 0 && i < len(rep.Curves[0].Points); i++ {
		line := []string{say.Plain(rep.Curves[0].Points[i][0], 2)}
		for _, curve := range rep.Curves {
			line = append(line, say.Plain(curve.Points[i][1], 2))
		}
		if err := c.Write(line); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}
