package report

import (
	"fmt"
	"math"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// timeline is one press's runs as bars in their order.
type timeline struct {
	Press, Said string
	Bars        []bar
	Ticks       []tick
}

// bar is a run, as wide as it is long.
type bar struct {
	Run, Title string
	X, Width   float64
	Late       bool
}

// tick is a time below the bars.
type tick struct {
	X    float64
	Text string
}

// The timeline's width, and the least between two times, in units of the picture.
const (
	timeWidth = 200
	timeApart = 32
)

// timelines draws the presses. A bar holds what changes before its run.
func timelines(p *plan.Plan) []timeline {
	var out []timeline
	for _, x := range p.Presses {
		t := timeline{Press: x.Press, Said: "It prints nothing."}
		if x.Runs > 0 {
			t.Said = fmt.Sprintf("%s from %s to %s, %s min of %s; %s.", say.Count(x.Runs, "run"), x.Start, x.End,
				say.Fixed(x.BusyMin, 0), say.Fixed(x.HoursMin, 0), amount(p, x.Money))
		}
		at, told := 0.0, -float64(timeApart)
		all := 0.0 // but for roll changes
		for i := range p.Runs {
			if run := &p.Runs[i]; run.Press == x.Press {
				all += run.PressMin + run.ChangeMin
			}
		}
		for i := range p.Runs {
			run := &p.Runs[i]
			if run.Press != x.Press {
				continue
			}
			width := timeWidth * (run.PressMin + run.ChangeMin) / all
			title := fmt.Sprintf("%s, %s to %s, %s: %s", run.Name, run.Start, run.End, amount(p, *run.Money), what(p, run))
			t.Bars = append(t.Bars, bar{run.Name, title, hundredth(at), hundredth(width), run.LateMin > 0})
			if at-told >= timeApart && at <= timeWidth-timeApart {
				t.Ticks = append(t.Ticks, tick{hundredth(at), run.Start})
				told = at
			}
			at += width
		}
		out = append(out, t)
	}
	return out
}

func hundredth(v float64) float64 { return math.Round(v*100) / 100 }
