package report

import (
	"fmt"
	"math"
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
			t.Said = fmt.Sprintf("%s from %s to %s, %s min of %s; %s.", say.Count(x.Runs, "run"), x.Start, x.End,
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
				name := s.from.Add(-12 * time.Hour).Format(time.DateOnly)
				if _, known := at[name]; !known {
					at[name] = len(nights)
					nights = append(nights, nil)
				}
				nights[at[name]] = append(nights[at[name]], s)
			}
		}
		for _, list := range nights {
			t.Nights = append(t.Nights, row(p, list))
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

// row draws the runs of one night.
func row(p *plan.Plan, list []span) nightRow {
	from, to := list[0].from, list[0].to
	for _, s := range list {
		if s.from.Before(from) {
			from = s.from
		}
		if s.to.After(to) {
			to = s.to
		}
	}
	step := scale(to.Sub(from))
	from = from.Truncate(step)
	all := max(to.Sub(from), step).Minutes()
	x := func(t time.Time) float64 { return hundredth(timeWidth * t.Sub(from).Minutes() / all) }
	r := nightRow{Name: "Night of " + list[0].from.Add(-12*time.Hour).Format(time.DateOnly)}
	if from.Year() == 2000 {
		r.Name = "Night"
	}
	for _, s := range list {
		run := s.Run
		b := bar{Run: run.Name, X: x(s.from), Late: run.LateMin > 0, Ready: s.printed}
		b.Width = hundredth(max(x(s.to)-b.X, 0.2))
		b.Title = fmt.Sprintf("%s, %s to %s, %s: %s", run.Name, run.Start, run.End, amount(p, *run.Money), what(p, run))
		if s.printed {
			b.Title += ", printed or on the press"
		}
		if b.Late {
			b.Title += fmt.Sprintf(", %s min late", say.Fixed(run.LateMin, 0))
		}
		short := strings.TrimPrefix(run.Name, "run-")
		for _, text := range []string{run.Name, short, strings.TrimLeft(short, "0")} {
			if float64(len(text))*letter+0.6 < b.Width {
				b.Text = text
				break
			}
		}
		r.Bars = append(r.Bars, b)
	}
	for t := from; !t.After(to); t = t.Add(step) {
		if at := x(t); at <= timeWidth-4 {
			r.Ticks = append(r.Ticks, tick{at, t.Format("15:04")})
		}
	}
	return r
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
