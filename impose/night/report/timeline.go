package report

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// timeline is one press's runs over its time: a row of bars for each night.
type timeline struct {
	Press, Said string
	Nights      []nightRow
}

// nightRow is a night of a press, from the first start to the last end.
type nightRow struct {
	Name  string
	Bars  []bar
	Off   []bar // between shifts
	Ticks []tick
}

// bar is a run from its start to its end, what changes before it among that.
type bar struct {
	Run, Title  string
	Text        string // in the bar; empty where it has no room
	X, Width    float64
	Late, Ready bool // it ends after its day; it is printed already
}

// tick is a time on the scale.
type tick struct {
	X    float64
	Text string
}

// Widths in units of the picture: of a night, and of a letter in a bar.
const (
	timeWidth = 200.0
	letter    = 1.55
)

const clockForm = "2006-01-02T15:04"

// timelines draws the presses. Nights run from noon to noon.
func timelines(p *plan.Plan) []timeline {
	var out []timeline
	for _, x := range p.Presses {
		t := timeline{Press: x.Press, Said: "It prints nothing."}
		if x.Runs > 0 {
			t.Said = fmt.Sprintf("%s from %s to %s, %s min of %s; %s.", say.Count(x.Runs, "run"), clock(x.Start), clock(x.End),
				say.Fixed(x.BusyMin, 0), say.Fixed(x.HoursMin, 0), amount(p, x.Money))
		}
		at := map[string]int{}
		nights := [][]span{}
		for k, list := range [][]plan.Run{p.Printed, p.Runs} {
			for i := range list {
				run := &list[i]
				s := span{run, when(run.Start), when(run.End), k == 0}
				if run.Press != x.Press || s.from.IsZero() {
					continue
				}
				for _, part := range s.parts(x.Shifts) {
					name := noon(part.from).Format(time.DateOnly)
					if _, known := at[name]; !known {
						at[name] = len(nights)
						nights = append(nights, nil)
					}
					nights[at[name]] = append(nights[at[name]], part)
				}
			}
		}
		begin, end := extent(nights)
		for _, list := range nights {
			t.Nights = append(t.Nights, row(p, list, x.Shifts, begin, end))
		}
		out = append(out, t)
	}
	return out
}

// span is a run's time.
type span struct {
	*plan.Run
	from, to time.Time
	printed  bool
}

// parts cuts a run where it is broken off between shifts, so that each part stands
// in its own night.
func (s span) parts(shifts []plan.Shift) (out []span) {
	for _, w := range working(s.from, s.to, shifts) {
		out = append(out, span{s.Run, w[0], w[1], s.printed})
	}
	if len(out) == 0 {
		out = append(out, s)
	}
	return out
}

// noon is the one before, from which a night is counted.
func noon(t time.Time) time.Time {
	return t.Add(-12 * time.Hour).Truncate(24 * time.Hour).Add(12 * time.Hour)
}

// extent says how long after noon the first run of all nights starts and the last
// one ends: the rows of a press have one scale.
func extent(nights [][]span) (begin, end time.Duration) {
	begin = 48 * time.Hour
	for _, list := range nights {
		for _, s := range list {
			day := noon(s.from)
			begin, end = min(begin, s.from.Sub(day)), max(end, s.to.Sub(day))
		}
	}
	return begin, end
}

// when reads a time; of a plan without a day, nights are counted from an
// imaginary one.
func when(text string) time.Time {
	if t, err := time.Parse(clockForm, text); err == nil {
		return t
	}
	var night, hour, minute int
	if n, _ := fmt.Sscanf(text, "night %d %d:%d", &night, &hour, &minute); n != 3 {
		return time.Time{}
	}
	return time.Date(2000, 1, night, hour, minute, 0, 0, time.UTC)
}

// row draws the runs of one night, from so long after its noon until so long.
func row(p *plan.Plan, list []span, shifts []plan.Shift, begin, end time.Duration) nightRow {
	day := noon(list[0].from)
	from, to := day.Add(begin), day.Add(end)
	step := scale(to.Sub(from))
	from = from.Truncate(step)
	all := max(to.Sub(from), step).Minutes()
	x := func(t time.Time) float64 { return hundredth(timeWidth * t.Sub(from).Minutes() / all) }
	r := nightRow{Name: "Night of " + list[0].from.Add(-12*time.Hour).Format(time.DateOnly)}
	if from.Year() == 2000 {
		r.Name = "Night"
	}
	work := working(from, to, shifts)
	for i := range len(work) + 1 {
		off := [2]time.Time{from, to}
		if i > 0 {
			off[0] = work[i-1][1]
		}
		if i < len(work) {
			off[1] = work[i][0]
		}
		if off[0].Before(off[1]) {
			r.Off = append(r.Off, bar{X: x(off[0]), Width: hundredth(x(off[1]) - x(off[0]))})
		}
	}
	for _, s := range list {
		r.Bars = append(r.Bars, parted(p, s, work, x)...)
	}
	for t := from; !t.After(to); t = t.Add(step) {
		if at := x(t); at <= timeWidth-4 {
			r.Ticks = append(r.Ticks, tick{at, t.Format("15:04")})
		}
	}
	return r
}

// working lists the shifts between two times.
func working(from, to time.Time, shifts []plan.Shift) (out [][2]time.Time) {
	for day := from.AddDate(0, 0, -1).Truncate(24 * time.Hour); day.Before(to); day = day.AddDate(0, 0, 1) {
		for _, s := range shifts {
			a, errA := time.Parse("15:04", s.From)
			b, errB := time.Parse("15:04", s.To)
			if errA != nil || errB != nil {
				continue
			}
			start := day.Add(time.Duration(a.Hour()*60+a.Minute()) * time.Minute)
			end := day.Add(time.Duration(b.Hour()*60+b.Minute()) * time.Minute)
			if !start.Before(end) {
				end = end.AddDate(0, 0, 1)
			}
			if start.Before(from) {
				start = from
			}
			if end.After(to) {
				end = to
			}
			if start.Before(end) {
				out = append(out, [2]time.Time{start, end})
			}
		}
	}
	slices.SortFunc(out, func(a, b [2]time.Time) int { return a[0].Compare(b[0]) })
	return out
}

// parted draws a run: a bar for each shift in which it is printed.
func parted(p *plan.Plan, s span, work [][2]time.Time, x func(time.Time) float64) (out []bar) {
	run := s.Run
	title := fmt.Sprintf("%s, %s to %s, %s: %s", run.Name, clock(run.Start), clock(run.End), amount(p, *run.Money), what(p, run))
	if s.printed {
		title += ", printed or on the press"
	}
	if run.LateMin > 0 {
		title += fmt.Sprintf(", %s min late", say.Fixed(run.LateMin, 0))
	}
	for _, w := range work {
		from, to := s.from, s.to
		if from.Before(w[0]) {
			from = w[0]
		}
		if to.After(w[1]) {
			to = w[1]
		}
		if !from.Before(to) && !(from.Equal(s.from) && from.Equal(s.to) && from.Before(w[1])) {
			continue
		}
		b := bar{Run: run.Name, Title: title, X: x(from), Late: run.LateMin > 0, Ready: s.printed}
		b.Width = hundredth(max(x(to)-b.X, 0.2))
		short := strings.TrimPrefix(run.Name, "run-")
		for _, text := range []string{run.Name, short, strings.TrimLeft(short, "0")} {
			if float64(len(text))*letter+0.6 < b.Width {
				b.Text = text
				break
			}
		}
		out = append(out, b)
	}
	return out
}

// scale is the time between two ticks: a whole part of an hour, or hours, of which
// some twelve are shown.
func scale(all time.Duration) time.Duration {
	for _, step := range []time.Duration{time.Minute, 5 * time.Minute, 10 * time.Minute, 15 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour} {
		if all <= 12*step {
			return step
		}
	}
	return 4 * time.Hour
}

func hundredth(v float64) float64 { return math.Round(v*100) / 100 }
