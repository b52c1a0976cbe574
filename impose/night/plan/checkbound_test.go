package plan

import "math"

// boundFigures checks what no plan of the groups undercuts beside their money: each group
// has a run at least and no more than it was given, its labels fill so many frames, and
// the minutes are those of the metres and the runs.
func (c *nightCheck) boundFigures() {
	if len(c.Printed) > 0 {
		return // what is open of an order is no figure of the plan
	}
	type kind struct{ speed, once float64 }
	kinds := map[kind]bool{}
	var least, leastMin, most, mostMin float64
	runs := 0
	for gi := range c.Groups {
		var of []*seenRun
		need := map[string]int64{}
		for i := range c.Runs {
			if run := &c.Runs[i]; run.Group == gi+1 {
				of = append(of, run)
				for _, o := range run.Orders {
					need[o.Order] += o.Ordered
				}
			}
		}
		run, strips := *of[0], 0.0
		rows := float64(run.Rows)
		if c.rules.Mixed {
			rows = 1
		}
		for _, n := range need {
			strips += math.Ceil(float64(n) / rows)
		}
		run.Frames = int64(math.Ceil(strips * rows / float64(run.Lanes*run.Rows)))
		p := c.presses[run.Press]
		once := p.SetupMin + p.InkSetupMin*c.inks(&run)
		kinds[kind{c.speed(&run), once}] = true
		web := c.gross(&run)
		least, leastMin = least+web, leastMin+web/c.speed(&run)+once
		for _, r := range of {
			minutes, _ := c.minutes(r)
			most, mostMin = most+c.gross(r), mostMin+minutes
		}
		if len(of) == 1 {
			runs++
		}
	}
	b := &c.Bound
	if one := len(c.Groups); b.Runs < one || runs == one && b.Runs != one || b.Web < least-0.001 || b.Web > most+0.001 || b.Minutes < leastMin-0.001 || b.Minutes > mostMin+0.001 {
		c.fault("the bound is %+v: %d groups take at least %g m and %g min, and were given %g m and %g min", *b, one, least, leastMin, most, mostMin)
	}
	if len(kinds) == 1 {
		for k := range kinds {
			c.same("the bound's minutes", b.Minutes, b.Web/k.speed+float64(b.Runs)*k.once, 0.001)
		}
	}
}
