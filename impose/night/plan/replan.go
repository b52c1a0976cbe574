package plan

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"quoin/impose/say"
)

// Replan says what a plan has changed of an earlier one.
type Replan struct {
	At      string      `json:"at,omitempty"`
	Printed int         `json:"printed"` // runs that are held fixed
	Kept    []string    `json:"kept"`    // runs as they were planned, at another time perhaps
	New     []string    `json:"new"`
	Gone    []string    `json:"gone"`
	Altered []RunChange `json:"altered"`
	Moved   []Move      `json:"moved"` // kept or altered runs that begin in another night or on another press
	Orders  []Moved     `json:"orders"`
	// MadeAnew is what a plan with nothing kept but the printed runs costs, and Anew
	// whether it was taken.
	MadeAnew int64 `json:"made_anew_money"`
	Anew     bool  `json:"anew"`
}

// RunChange is what is otherwise in a run of one name.
type RunChange struct {
	Run  string `json:"run"`
	What string `json:"what"`
}

// Move is a run that begins at another time.
type Move struct {
	Run  string `json:"run"`
	Was  string `json:"was"`
	Now  string `json:"now"`
	Late bool   `json:"late,omitempty"`
}

// Moved is an order that stands in other runs than it did.
type Moved struct {
	Order string   `json:"order"`
	Was   []string `json:"was"` // none: it is new
	Now   []string `json:"now"` // none: it is printed by none any more
}

// errGone ends the attempt to keep runs.
var errGone = errors.New("the runs can't be printed as they were planned")

const clockForm = "2006-01-02T15:04"

func parseClock(text string) (time.Time, error) { return time.Parse(clockForm, text) }

// millimetres returns the whole nanometres that were written in mm.
func millimetres(mm float64) int64 { return int64(math.Round(mm * 1e6)) }

// changes says what of the earlier plan is otherwise. The runs of p have their names.
func (b *Before) changes(p, anew *Plan) *Replan {
	c := &Replan{Printed: len(b.Gone), Kept: []string{}, New: []string{}, Gone: []string{}, Altered: []RunChange{}, Moved: []Move{}, Orders: []Moved{}, MadeAnew: *anew.Total.Money, Anew: p == anew}
	if !b.At.IsZero() {
		c.At = b.At.Format(clockForm)
	}
	old := map[string]*Run{}
	for i := range b.Runs {
		old[b.Runs[i].Name] = &b.Runs[i]
	}
	now := map[string]bool{}
	for i := range p.Runs {
		run := &p.Runs[i]
		now[run.Name] = true
		was := old[run.Name]
		switch {
		case was == nil:
			c.New = append(c.New, run.Name)
			continue
		case was.same(run):
			c.Kept = append(c.Kept, run.Name)
		default:
			c.Altered = append(c.Altered, RunChange{run.Name, was.differs(run)})
		}
		if was.Press != run.Press || nightOf(was.Start) != nightOf(run.Start) || run.LateMin > was.LateMin+1 {
			c.Moved = append(c.Moved, Move{run.Name, was.Press + ", " + was.Start, run.Press + ", " + run.Start, run.LateMin > 0})
		}
	}
	for i := range b.Runs {
		if !now[b.Runs[i].Name] {
			c.Gone = append(c.Gone, b.Runs[i].Name)
		}
	}
	seen := map[string]bool{}
	for _, list := range [][]Run{b.Runs, p.Runs} {
		for i := range list {
			for _, s := range list[i].Orders {
				if seen[s.Order] {
					continue
				}
				seen[s.Order] = true
				before, after := runsWith(b.Runs, s.Order), runsWith(p.Runs, s.Order)
				slices.Sort(before)
				slices.Sort(after)
				if !slices.Equal(before, after) {
					c.Orders = append(c.Orders, Moved{s.Order, append([]string{}, before...), append([]string{}, after...)})
				}
			}
		}
	}
	return c
}

// nightOf is the night in which a time is, from noon to noon.
func nightOf(text string) string {
	t, err := parseClock(text)
	if err != nil {
		return ""
	}
	return t.Add(-12 * time.Hour).Format(time.DateOnly)
}

// same reports whether two runs print the same.
func (r *Run) same(o *Run) bool { return r.differs(o) == "" }

// differs says what another run prints otherwise; nothing where it prints the same.
func (r *Run) differs(o *Run) string {
	var list []string
	add := func(what string, a, b any) {
		if a != b {
			list = append(list, fmt.Sprintf("%s %v, was %v", what, b, a))
		}
	}
	add("press", r.Press, o.Press)
	add("web in mm", r.WebMM, o.WebMM)
	add("die", r.Die, o.Die)
	add("frames", r.Frames, o.Frames)
	for _, s := range r.Orders {
		k := slices.IndexFunc(o.Orders, func(x Share) bool { return x.Order == s.Order })
		if k < 0 {
			list = append(list, "without "+s.Order)
		} else if n := o.Orders[k].Stations; n != s.Stations {
			add(s.Order+" on stations", s.Stations, n)
		}
	}
	for _, s := range o.Orders {
		if !slices.ContainsFunc(r.Orders, func(x Share) bool { return x.Order == s.Order }) {
			list = append(list, "with "+s.Order)
		}
	}
	return say.List(list)
}

// follow calls the runs by the names of those that they are of the earlier plan: first
// of those that print the same, then of those that print most of the same orders
// with the same tools. New ones are numbered behind all.
func (b *Before) follow(p *Plan) {
	last, taken := 0, map[string]bool{}
	for _, list := range [][]Run{b.Gone, b.Runs} {
		for i := range list {
			last = max(last, number(list[i].Name))
		}
	}
	for i := range p.Runs {
		p.Runs[i].Name = ""
	}
	give := func(i int, name string) { p.Runs[i].Name, taken[name] = name, true }
	for i := range p.Runs {
		if was := p.Runs[i].was; was > 0 {
			give(i, b.Runs[was-1].Name)
		}
	}
	for i := range p.Runs {
		for k := range b.Runs {
			if p.Runs[i].Name == "" && !taken[b.Runs[k].Name] && b.Runs[k].same(&p.Runs[i]) {
				give(i, b.Runs[k].Name)
			}
		}
	}
	type pair struct{ now, was, common int }
	var pairs []pair
	for i := range p.Runs {
		for k := range b.Runs {
			run, was := &p.Runs[i], &b.Runs[k]
			if run.Name == "" && !taken[was.Name] && run.Press == was.Press && run.Die == was.Die && run.WebMM == was.WebMM {
				if n := run.common(was); 2*n > len(was.Orders) {
					pairs = append(pairs, pair{i, k, n})
				}
			}
		}
	}
	slices.SortStableFunc(pairs, func(x, y pair) int { return cmp.Compare(y.common, x.common) })
	for _, x := range pairs {
		if p.Runs[x.now].Name == "" && !taken[b.Runs[x.was].Name] {
			give(x.now, b.Runs[x.was].Name)
		}
	}
	for i := range p.Runs {
		if p.Runs[i].Name == "" {
			last++
			p.Runs[i].Name = fmt.Sprintf("run-%03d", last)
		}
	}
}

// common counts the orders of both runs.
func (r *Run) common(o *Run) (n int) {
	for _, s := range r.Orders {
		if slices.ContainsFunc(o.Orders, func(x Share) bool { return x.Order == s.Order }) {
			n++
		}
	}
	return n
}
