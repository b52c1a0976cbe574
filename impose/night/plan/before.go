package plan

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
)

// Before is an earlier plan of the same nights. What of it is printed, or on the
// press, is held fixed; of the rest as little as it must is planned anew.
type Before struct {
	Runs   []Run // that were to be printed
	Groups []GroupPart
	Gone   []Run // printed, or on the press: their groups are in Groups too
	// At is when the plan is made again: no run begins before. Zero: nobody says.
	At time.Time
	// Anew takes the plan made anew where it costs so much less, in the currency's
	// smallest unit, whatever changes; 0: only where it must.
	Anew int64
}

// NewBefore parts an earlier plan, by money: the runs that are named, or had begun
// by then, are printed, or on the press. A run that does not exist, and a plan of
// another form, are refused.
func NewBefore(p *Plan, at time.Time, printed []string) (*Before, error) {
	switch {
	case p.Schema != Schema:
		return nil, say.Refuse(say.BadFile, "give the plan.json that quoin gang has written", "the earlier plan is of the form %q, not %q", p.Schema, Schema)
	case p.By != night.Money:
		return nil, say.Refuse(say.BadFile, "plan with --by money", "the earlier plan is by %s, and says not when runs are printed", p.By)
	}
	b := &Before{Groups: p.Groups, Gone: slices.Clone(p.Printed), At: at}
	for _, name := range printed {
		if !slices.ContainsFunc(p.Runs, func(r Run) bool { return r.Name == name }) {
			return nil, say.Refuse(say.BadFile, "name a run of it, as run-001", "the earlier plan has no run %q still to be printed", name)
		}
	}
	for _, run := range p.Runs {
		start, err := time.Parse(clockForm, run.Start)
		if err != nil && !at.IsZero() {
			return nil, say.Refuse(say.BadFile, "plan with --day, or name the printed runs", "the earlier plan has no day: %s begins at %q", run.Name, run.Start)
		}
		if slices.Contains(printed, run.Name) || !at.IsZero() && !start.After(at) {
			b.Gone = append(b.Gone, run)
		} else {
			b.Runs = append(b.Runs, run)
		}
	}
	return b, nil
}

// ReadBefore is NewBefore of a file.
func ReadBefore(path string, at time.Time, printed []string) (*Before, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("reading the earlier plan: %w", err)
	}
	var p Plan
	if err := json.Unmarshal(data, &p); err != nil {
		return nil, say.Refuse(say.BadFile, "give the plan.json that quoin gang has written, or what it prints with --json", "%s is no plan: %v", path, err)
	}
	return NewBefore(&p, at, printed)
}

// labelsOf counts the good labels of an order in runs.
func labelsOf(runs []Run, order string) (n int64) {
	for i := range runs {
		for _, s := range runs[i].Orders {
			if s.Order == order {
				n += s.Labels - s.Trimmed
			}
		}
	}
	return n
}

// apply takes from the orders what is printed; those that are met are done. What
// was planned before waits for no later night.
func (b *Before) apply(in *intake.Taken) {
	var open []*intake.Order
	var done []string
	for _, o := range in.Orders {
		if o.Printed = labelsOf(b.Gone, o.ID); o.Printed >= o.Quantity {
			done = append(done, o.ID)
			continue
		}
		if labelsOf(b.Runs, o.ID) > 0 {
			delete(in.Early, o)
		}
		open = append(open, o)
	}
	in.Orders = open
	drop := func(n night.Note) bool { return slices.Contains(done, n.Order) }
	in.Remarks = slices.DeleteFunc(in.Remarks, drop)
	for _, id := range done {
		in.Remarks = append(in.Remarks, night.NoteOn(id, night.Printed, "printed, in %s", strings.Join(runsWith(b.Gone, id), ", ")))
	}
}

// runsWith names the runs that hold an order.
func runsWith(runs []Run, order string) (names []string) {
	for i := range runs {
		if slices.ContainsFunc(runs[i].Orders, func(s Share) bool { return s.Order == order }) {
			names = append(names, runs[i].Name)
		}
	}
	return names
}

func (g *group) set() *night.Set {
	x := g.forme()
	return &night.Set{Stock: g.stock, Die: x.Die, Web: x.Layout.Web.Width, Inks: g.inks}
}

// stands says of each press with what it stands set up, and from when on it prints.
func (b *Before) stands(r *night.Rules) map[*job.Press]night.Stand {
	out := map[*job.Press]night.Stand{}
	for _, press := range presses(r) {
		at := night.Stand{From: b.At}
		var last time.Time
		for i := range b.Gone {
			run := &b.Gone[i]
			end, err := parseClock(run.End)
			if run.Press != press.Name || err != nil || end.Before(last) || run.Group < 1 || run.Group > len(b.Groups) {
				continue
			}
			g := &b.Groups[run.Group-1]
			last, at.Set = end, &night.Set{Stock: g.Material, Die: g.Die, Web: geometry.Length(millimetres(run.WebMM)), Inks: g.Inks}
		}
		if last.After(at.From) {
			at.From = last
		}
		out[press] = at
	}
	return out
}

// hold puts what is printed into the plan, with its groups behind the others.
func (b *Before) hold(p *Plan) {
	at := map[int]int{}
	for _, run := range b.Gone {
		if run.Group >= 1 && run.Group <= len(b.Groups) && at[run.Group] == 0 {
			g := b.Groups[run.Group-1]
			g.Group, g.Printed = len(p.Groups)+1, true
			p.Groups = append(p.Groups, g)
			at[run.Group] = g.Group
		}
		run.Group = at[run.Group]
		p.Printed = append(p.Printed, run)
	}
}

// number is a run's number of its name, run-007; 0 where it has none.
func number(name string) (n int) {
	fmt.Sscanf(name, "run-%d", &n)
	return n
}
