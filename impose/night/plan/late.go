package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

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
func (tm timing) tellLate() {
	p := tm.plan
	p.Late = []LateRun{}
	for i := range p.Runs {
		run := &p.Runs[i]
		if run.LateMin > 0 {
			p.Late = append(p.Late, LateRun{run.Name, len(run.Orders), run.Due, run.End, run.LateMin, tm.saves(run), run.late})
		}
	}
	slices.SortStableFunc(p.Late, func(a, b LateRun) int { return cmp.Compare(b.LateMin, a.LateMin) })
}

// saves says what would have a run ready in time.
func (tm timing) saves(run *Run) string {
	p := tm.plan
	text := fmt.Sprintf("%s more minutes of %s before it ends", say.Fixed(math.Ceil(run.LateMin), 0), run.Press)
	for _, other := range p.tables {
		if other.press == run.group.press || !run.fits(other.press, p.rules) {
			continue
		}
		if room := other.room(run); room >= run.PressMin {
			return text + fmt.Sprintf(", or %s, which has %s minutes left by then", other.press.Name, say.Fixed(math.Floor(room), 0))
		}
	}
	if run.priority <= 0 && p.rules.By == night.Money {
		text += ", or a priority above 0"
	}
	return text
}

// fits reports whether all that a run holds could be printed on a press.
func (run *Run) fits(press *job.Press, r *night.Rules) bool {
	return !slices.ContainsFunc(run.Orders, func(s Share) bool {
		return !slices.ContainsFunc(s.order.Ways, func(f *intake.Forme) bool { return cmp.Or(f.Press, r.House.Press) == press })
	})
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
