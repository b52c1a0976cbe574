package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/geometry/schedule"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

// LateRun is one that ends after its day, with what would save it.
type LateRun struct {
	Run     string  `json:"run"`
	Orders  int     `json:"orders"`
	Due     string  `json:"due"`
	End     string  `json:"end"`
	LateMin float64 `json:"late_min"` // working minutes of the press
	Saves   string  `json:"saves"`
	// Names are those of its orders that are late.
	Names []string `json:"order_names"`
}

// tellLate lists the runs that are late, the latest first, and says what would save each.
func tellLate(p *Plan) {
	p.Late = []LateRun{}
	for i := range p.Runs {
		run := &p.Runs[i]
		if run.LateMin > 0 {
			p.Late = append(p.Late, LateRun{run.Name, len(run.Orders), run.Due, run.End, run.LateMin, saves(p, run), run.late})
		}
	}
	slices.SortStableFunc(p.Late, func(a, b LateRun) int { return cmp.Compare(b.LateMin, a.LateMin) })
}

// LateOrders counts the orders that end after their day in some run.
func LateOrders(runs []LateRun) int {
	names := map[string]bool{}
	for _, l := range runs {
		for _, o := range l.Names {
			names[o] = true
		}
	}
	return len(names)
}

// saves says what would have a run ready in time.
func saves(p *Plan, run *Run) string {
	text := fmt.Sprintf("%s more minutes of %s by the end of the night of %s", say.Fixed(math.Ceil(run.LateMin), 0), run.Press, run.Due)
	for _, other := range p.tables {
		if other.press == run.group.press {
			continue
		}
		if room, takes := other.room(run), run.minutesOn(other.press, p.rules); room >= takes {
			return text + fmt.Sprintf(", or %s, which has %s minutes left by then and takes about %s", other.press.Name, say.Fixed(math.Floor(room), 0), say.Fixed(math.Ceil(takes), 0))
		}
	}
	if run.priority <= 0 && p.rules.By == night.Money {
		text += ", or a priority above 0, at the cost of others"
	}
	return text
}

// minutesOn returns what a run's labels take on another press at least, side by side
// on its best bed; infinite where one of the orders can't be printed there.
func (run *Run) minutesOn(press *job.Press, r *night.Rules) float64 {
	metres := 0.0
	var best *intake.Forme
	for _, s := range run.Orders {
		dense := 0.0
		for _, f := range s.order.Ways {
			if l := f.Layout; cmp.Or(f.Press, r.House.Press) == press && l.Repeat > 0 {
				if d := float64(l.Labels()) / l.Repeat.Metres(); d > dense {
					dense, best = d, f
				}
			}
		}
		if dense == 0 {
			return math.Inf(1)
		}
		metres += float64(s.Labels) / dense
	}
	t, err := best.House(r.House).Terms(len(run.group.inks))
	if err != nil || t.Speed == 0 {
		return math.Inf(1)
	}
	web := t.RunWaste.MoreLength(geometry.Length(metres*float64(geometry.Metre))) + t.Setup
	other := *run.group
	other.press = press
	return float64(web)/float64(t.Speed) + t.SetupMin + web.Metres()*rollChange(&other, t)
}

// room returns the press's working minutes that nothing takes before a run of
// another press is due.
func (t *table) room(run *Run) float64 {
	due := t.due(run)
	if due == schedule.Never || t.hours.day.IsZero() {
		return 0
	}
	free := due - t.free
	for i := range t.list {
		at, err := parseClock(t.list[i].Start)
		if err != nil {
			return 0
		}
		start := t.hours.worked(at)
		free -= max(0, min(due-start, t.ticks(&t.list[i])+seconds(t.list[i].ChangeMin)))
	}
	return max(0, float64(free)/60)
}
