package report

import (
	"fmt"
	"strings"

	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// replanned says what changed of the plan before, a line for each; nothing where
// there was none.
func replanned(p *plan.Plan) []string {
	c := p.Replan
	if c == nil {
		return nil
	}
	var list []string
	add := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	some := func(what string, names []string) {
		if len(names) > 0 {
			add("%s: %s", what, say.List(names))
		}
	}
	at := say.Where(c.At != "", " at %s", clock(c.At))
	add("planned again%s: %s printed or on the press, %d kept, %d altered, %d new, %d gone", at, say.Count(c.Printed, "run"), len(c.Kept), len(c.Altered), len(c.New), len(c.Gone))
	some("new", c.New)
	some("gone", c.Gone)
	for _, x := range c.Altered {
		add("%s is altered: %s", x.Run, x.What)
	}
	for _, m := range c.Moved {
		late := say.Where(m.Late, ", late")
		add("%s moves from %s to %s%s", m.Run, clock(m.Was), clock(m.Now), late)
	}
	for _, o := range c.Orders {
		switch {
		case len(o.Was) == 0:
			add("order %s is new, in %s", o.Order, say.List(o.Now))
		case len(o.Now) == 0:
			add("order %s is in no run any more, it was in %s", o.Order, say.List(o.Was))
		default:
			add("order %s moves from %s to %s", o.Order, say.List(o.Was), say.List(o.Now))
		}
	}
	switch more := *p.Total.Money - c.MadeAnew; {
	case c.Anew && len(c.Kept)+len(c.Altered)+len(c.New)+len(c.Gone) > 0:
		add("all that is not printed was planned anew")
	case more > 0:
		add("planned anew, what is not printed would cost %s less, and more would change (--anew-from takes it)", amount(p, more))
	}
	return list
}

func textReplan(b *strings.Builder, p *plan.Plan) {
	list := replanned(p)
	if len(list) == 0 {
		return
	}
	b.WriteString("Changed:\n")
	for _, line := range list {
		fmt.Fprintf(b, "    %s\n", line)
	}
	b.WriteString("\n")
	if len(p.Printed) == 0 {
		return
	}
	b.WriteString("Printed or on the press:\n")
	for i := range p.Printed {
		run := &p.Printed[i]
		var orders []string
		for _, s := range run.Orders {
			orders = append(orders, s.Order)
		}
		fmt.Fprintf(b, "    %s  %s to %s, %s; %s\n", run.Name, clock(run.Start), clock(run.End), what(p, run), strings.Join(orders, ", "))
	}
	b.WriteString("\n")
}
