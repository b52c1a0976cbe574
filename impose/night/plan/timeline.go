package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"quoin/geometry/schedule"
	"quoin/impose/job"
	"quoin/impose/night"
)

// PressPart is what a press does in the night.
type PressPart struct {
	Press    string  `json:"press"`
	Runs     int     `json:"runs"`
	Start    string  `json:"start,omitempty"`
	End      string  `json:"end,omitempty"`
	BusyMin  float64 `json:"busy_min"`  // runs, roll changes and what changes between runs
	HoursMin float64 `json:"hours_min"` // of its shifts, in all nights that are planned
	Shifts   []Shift `json:"shifts"`    // of a night; those behind midnight belong to the night before
	Money    int64   `json:"money"`
}

// Shift is working time, as 22:00 to 02:00.
type Shift struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// timetable puts the runs of each press into their order and gives them their
// times. Nights come one after the other, in each the higher priority first. In
// a night only those runs are printed of which an order is due then or was
// before, and as many of the next as would miss their days in theirs.
func timetable(p *Plan) {
	base := p.rules.Day
	if base.IsZero() {
		base = earliestDue(p)
	}
	runs := p.Runs
	p.Runs = []Run{}
	for _, press := range presses(p.rules) {
		var mine []Run
		for _, run := range runs {
			if run.group.press == press {
				mine = append(mine, run)
			}
		}
		t := &table{p, press, newHours(base, press), mine, nil, 0, 0}
		if at, known := p.rules.SetUp[press]; known {
			t.set, t.free = at.Set, t.hours.worked(at.From)
		}
		p.Runs = append(p.Runs, t.runs()...)
		p.Presses = append(p.Presses, t.part(max(p.rules.Nights, 1)))
		p.tables = append(p.tables, t)
	}
}

// earliestDue is the first day on which anything is due.
func earliestDue(p *Plan) (day time.Time) {
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			if d := s.order.Order.Due; !d.IsZero() && (day.IsZero() || d.Before(day)) {
				day = d
			}
		}
	}
	return day
}

// table is the timetable of one press.
type table struct {
	p     *Plan
	press *job.Press
	hours *hours
	list  []Run
	set   *night.Set // what the press stands set up with; nil: nobody knows
	free  int64      // working time from which on it prints
	most  int        // runs that were put in order together
}

// runs returns the press's runs in their order, with their times.
func (t *table) runs() []Run {
	l := t.lineup()
	steps := int64(20_000_000) * int64(t.p.rules.Time) / int64(10*time.Second)
	seq := l.arrange(func(of []int, last int, begin int64) []int {
		problem := l.some(of, last, begin)
		t.most = max(t.most, len(of))
		best := schedule.Solve(problem, steps*int64(len(of))/int64(len(t.list)), t.p.rules.Seed)
		if kept := t.keep(of, problem); kept != nil && kept.Missed <= best.Missed && kept.Late <= best.Late {
			best = *kept
		}
		out := make([]int, len(of))
		for i, k := range best.Runs {
			out[i] = of[k]
		}
		return out
	})
	out := make([]Run, 0, len(seq.Runs))
	before := t.set
	for i, start := range l.starts(seq.Runs) {
		run := t.list[seq.Runs[i]]
		minutes, spent := t.change(before, run.group.set(), run.group)
		at := start + seconds(minutes) + t.ticks(&run)
		run.changed, run.ChangeMin = spent, minutes
		run.Start, run.End = t.hours.at(start, false), t.hours.at(at, true)
		if due := t.due(&run); at > due {
			run.LateMin = float64(at-due) / 60
			for _, s := range run.Orders {
				if d := s.order.Order.Due; !d.IsZero() && t.hours.due(d) < at {
					run.late = append(run.late, s.Order)
				}
			}
		}
		out = append(out, run)
		before = run.group.set()
	}
	t.list = out
	return out
}

// lineup states the press's runs to be put in order.
func (t *table) lineup() *lineup {
	l := &lineup{Problem: &schedule.Problem{Begin: t.free}, night: t.hours.night, last: max(t.p.rules.Nights, 1) - 1}
	ids := map[string]int{}
	var first []int // of each set, a run that has it
	set := make([]int, len(t.list))
	l.Sets = set
	for i, n := range t.nights() {
		run := &t.list[i]
		l.Ticks, l.Dues, l.slots = append(l.Ticks, t.ticks(run)), append(l.Dues, t.dues(run)), append(l.slots, slot{night: n, priority: run.priority})
		key := run.group.set().Key()
		if _, known := ids[key]; !known {
			ids[key] = len(first)
			first = append(first, i)
		}
		set[i] = ids[key]
	}
	known := make([][]passing, len(first)+1)
	for a := range known {
		before := t.set
		if a > 0 {
			before = t.list[first[a-1]].group.set()
		}
		for _, i := range first {
			known[a] = append(known[a], t.passes(before, t.list[i].group))
		}
	}
	l.Change = func(from, to int) (int64, int64) {
		a := 0
		if from >= 0 {
			a = set[from] + 1
		}
		x := known[a][set[to]]
		return x.ticks, x.cost
	}
	return l
}

// some states runs that follow another from a time on.
func (l *lineup) some(of []int, last int, begin int64) *schedule.Problem {
	p := &schedule.Problem{Begin: begin}
	for _, i := range of {
		p.Ticks, p.Dues, p.Sets = append(p.Ticks, l.Ticks[i]), append(p.Dues, l.Dues[i]), append(p.Sets, l.Sets[i])
	}
	p.Change = func(from, to int) (int64, int64) {
		if from < 0 {
			return l.Change(last, of[to])
		}
		return l.Change(of[from], of[to])
	}
	return p
}

// keep returns the order in which runs of an earlier plan stay as they were, and
// each of the others stands where it costs least; nil where none is of it.
func (t *table) keep(of []int, p *schedule.Problem) *schedule.Sequence {
	var kept, other []int
	for k, i := range of {
		if t.list[i].was > 0 {
			kept = append(kept, k)
		} else {
			other = append(other, k)
		}
	}
	if len(kept) == 0 {
		return nil
	}
	slices.SortFunc(kept, func(a, b int) int { return cmp.Compare(t.list[of[a]].was, t.list[of[b]].was) })
	best := p.Measure(kept)
	for _, k := range other {
		var next *schedule.Sequence
		for at := range len(best.Runs) + 1 {
			s := p.Measure(slices.Insert(slices.Clone(best.Runs), at, k))
			if next == nil || s.Better(next) {
				next = &s
			}
		}
		best = *next
	}
	return &best
}

func seconds(minutes float64) int64 { return int64(math.Ceil(minutes*60 - 1e-6)) }

// ticks are the working seconds of a run, with its roll changes.
func (t *table) ticks(run *Run) int64 {
	g := run.group
	return seconds(run.PressMin + run.WebGrossM*rollChange(g, g.terms))
}

// due is the working time by which a run should have ended: with the night of
// the first of its orders.
func (t *table) due(run *Run) int64 {
	due := int64(schedule.Never)
	for _, s := range run.Orders {
		if d := s.order.Order.Due; !d.IsZero() {
			due = min(due, t.hours.due(d))
		}
	}
	return due
}

// dues lists when the orders of a run are due, by their priority.
func (t *table) dues(run *Run) (out []schedule.Due) {
	for _, s := range run.Orders {
		if d := s.order.Order.Due; !d.IsZero() {
			out = due(out, t.hours.due(d), 1+int64(max(0, s.order.Priority)))
		}
	}
	return out
}

// due adds to what is due, the earliest first.
func due(list []schedule.Due, at, weight int64) []schedule.Due {
	k, known := slices.BinarySearchFunc(list, at, func(d schedule.Due, at int64) int { return cmp.Compare(d.At, at) })
	if known {
		list[k].Weight += weight
		return list
	}
	return slices.Insert(list, k, schedule.Due{At: at, Weight: weight})
}

// nights says in which night each run is printed, if no day is missed for it: in that
// of its first order.
func (t *table) nights() []int {
	last := max(t.p.rules.Nights, 1) - 1
	night := make([]int, len(t.list))
	if last == 0 {
		return night
	}
	for i := range t.list {
		night[i] = last
		if n, held := t.heldNight(&t.list[i]); held {
			night[i] = min(last, n)
		} else if due := t.due(&t.list[i]); due < schedule.Never {
			night[i] = min(last, max(0, int(due/t.hours.night)-1))
		}
	}
	return night
}

// heldNight is the night for which an earlier plan had a run that is kept, where
// its orders are due no earlier.
func (t *table) heldNight(run *Run) (night int, held bool) {
	if run.was == 0 {
		return 0, false
	}
	start, err := parseClock(t.p.before.Runs[run.was-1].Start)
	if err != nil {
		return 0, false
	}
	night = int(t.hours.worked(start) / t.hours.night)
	return night, t.due(run) > int64(night)*t.hours.night
}

// change returns the press's minutes between two runs, of which the second is of
// the group, and the money that they and
// the finishing line's cost, by item, in grains. Before the first run nothing is
// known of the press, and nothing is counted.
func (t *table) change(a, b *night.Set, g *group) (minutes float64, spent map[Item]int64) {
	if a == nil || t.press == nil {
		return 0, nil
	}
	c, prices := t.press.Changes, pricesOf(g, t.p.rules)
	grain, perHour := unit(prices.Currency)*grains/60, prices.PressPerHour+60*t.p.rules.Scarce[t.press]
	add := func(item Item, min, perHour float64) {
		if min > 0 {
			if spent == nil {
				spent = map[Item]int64{}
			}
			spent[item] += int64(math.Round(min * perHour * grain))
		}
	}
	switch {
	case a.Stock != b.Stock:
		minutes += c.Material
		add(ItemMaterial, c.Material, perHour)
	case a.Web != b.Web:
		minutes += c.Web
		add(ItemWidth, c.Web, perHour)
	}
	if n := others(a.Inks, b.Inks); n > 0 {
		minutes += float64(n) * c.Ink
		add(ItemInkChange, float64(n)*c.Ink, perHour)
	}
	if b.Die != "" && b.Die != a.Die {
		add(ItemDieChange, c.Die, prices.FinishPerHour)
	}
	return minutes, spent
}

// passing is what passes before a group's runs: time and money.
type passing struct{ ticks, cost int64 }

// passes returns what passes between a set-up and a group's.
func (t *table) passes(before *night.Set, g *group) passing {
	minutes, spent := t.change(before, g.set(), g)
	x := passing{ticks: seconds(minutes)}
	for _, s := range spent {
		x.cost += s
	}
	return x
}

// others counts the inks of a sorted list that another has not.
func others(had, has []string) int {
	n := 0
	for i, ink := range has {
		if i > 0 && has[i-1] == ink {
			continue
		}
		if _, known := slices.BinarySearch(had, ink); !known {
			n++
		}
	}
	return n
}

func (t *table) part(nights int) PressPart {
	part := PressPart{Runs: len(t.list), HoursMin: float64(t.hours.night) / 60 * float64(nights)}
	if t.press != nil {
		part.Press = t.press.Name
	}
	for _, s := range t.hours.shifts {
		clock := func(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60%24, minute%60) }
		part.Shifts = append(part.Shifts, Shift{clock(s.From), clock(s.From + s.Minutes())})
	}
	for i := range t.list {
		run := &t.list[i]
		part.BusyMin += float64(t.ticks(run))/60 + run.ChangeMin
		if i == 0 {
			part.Start = run.Start
		}
		part.End = run.End
	}
	return part
}
