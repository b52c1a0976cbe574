package report

import (
	"fmt"
	"slices"
	"strings"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// mostLate is how many late runs are listed one by one in front of everything else.
const mostLate = 12

// lateDay is what is late of one press and day.
type lateDay struct {
	Press, Due string
	Runs       int
	Orders     []string // each once
	Worst      plan.LateRun
}

// lateDays puts the late runs of each press and day together, the latest first.
func lateDays(p *plan.Plan) (out []lateDay) {
	press := map[string]string{}
	for i := range p.Runs {
		press[p.Runs[i].Name] = p.Runs[i].Press
	}
	named := map[[3]string]bool{}
	for _, l := range p.Late {
		on := press[l.Run]
		at := slices.IndexFunc(out, func(d lateDay) bool { return d.Press == on && d.Due == l.Due })
		if at < 0 {
			at, out = len(out), append(out, lateDay{Press: on, Due: l.Due, Worst: l})
		}
		d := &out[at]
		d.Runs++
		for _, o := range l.Names {
			if key := [3]string{on, l.Due, o}; !named[key] {
				named[key], d.Orders = true, append(d.Orders, o)
			}
		}
	}
	return out
}

// LateInAll says in a line what is late; nothing where nothing is.
func LateInAll(p *plan.Plan) string {
	if len(p.Late) == 0 {
		return ""
	}
	text := fmt.Sprintf("%s in %s, by %s min at most", say.Count(plan.LateOrders(p.Late), "order"), say.Count(len(p.Late), "run"), say.Fixed(p.Late[0].LateMin, 0))
	busy, hours := 0.0, 0.0
	for _, x := range p.Presses {
		busy, hours = busy+x.BusyMin, hours+x.HoursMin
	}
	if busy > hours {
		text += fmt.Sprintf("; all runs take %s min, and the presses have %s in these nights", say.Fixed(busy, 0), say.Fixed(hours, 0))
	}
	return text
}

// text is the line of a day: how much of it is late, and what would save the last.
func (d lateDay) text() string {
	return fmt.Sprintf("%s, due %s: %s, %s (%s), the last, %s, ends %s, %s min late: %s", d.Press, d.Due, say.Count(d.Runs, "run"), say.Count(len(d.Orders), "order"),
		someOf(d.Orders), d.Worst.Run, clock(d.Worst.End), say.Fixed(d.Worst.LateMin, 0), d.Worst.Saves)
}

// DaysKept says in a line what keeping due days costs; nothing where the cheapest plan
// keeps as many.
func DaysKept(p *plan.Plan) string {
	d := p.Days
	if d == nil {
		return ""
	}
	costs := "which costs " + amount(p, d.Money) + " more"
	if d.Money <= 0 {
		costs = "which costs no more"
	}
	kept := "no order is late"
	if d.LateOrders > 0 {
		kept = say.Count(d.LateOrders, "order") + " late"
	}
	return fmt.Sprintf("Due days come before money: %s, %s; the plan of least money is %s, with %s late, their runs %s min in all",
		kept, costs, amount(p, d.CheapestMoney), say.Count(d.CheapestOrders, "order"), say.Fixed(d.CheapestMin, 0))
}

// textLate says what is late: few runs one by one, of many the days of each press
// and the latest. Each late run says so itself too.
func textLate(b *strings.Builder, p *plan.Plan) {
	if len(p.Late) == 0 {
		textDays(b, p)
		return
	}
	fmt.Fprintf(b, "Late: %s\n", LateInAll(p))
	list := p.Late
	if len(list) > mostLate {
		for _, d := range lateDays(p) {
			fmt.Fprintf(b, "    %s\n", d.text())
		}
		fmt.Fprintf(b, "The latest %d:\n", mostLate)
		list = list[:mostLate]
	}
	for _, l := range list {
		fmt.Fprintf(b, "    %-12s %s (%s), due %s, ends %s, %s min late: %s\n", l.Run, say.Count(len(l.Names), "order"), someOf(l.Names), l.Due, clock(l.End), say.Fixed(l.LateMin, 0), l.Saves)
	}
	b.WriteString("\n")
	textDays(b, p)
}

func textDays(b *strings.Builder, p *plan.Plan) {
	if line := DaysKept(p); line != "" {
		fmt.Fprintf(b, "%s.\n\n", line)
	}
}

// overtime says how late a run is; nothing where it is not.
func overtime(run *plan.Run) string {
	return say.Where(run.LateMin > 0, "%s min late", say.Fixed(run.LateMin, 0))
}
