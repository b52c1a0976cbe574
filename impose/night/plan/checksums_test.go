package plan

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"time"
)

// split checks orders that stand in several runs.
func (c *nightCheck) split() {
	in := map[string][]*seenRun{}
	for _, list := range [][]seenRun{c.Printed, c.Runs} {
		for i := range list {
			for _, o := range list[i].Orders {
				in[o.Order] = append(in[o.Order], &list[i])
			}
		}
	}
	out := map[string]bool{}
	for _, n := range c.Unplanned {
		out[n.Order] = true
	}
	for _, id := range c.rules.Pins.TakenOut {
		out[id] = true
	}
	for id, x := range c.all {
		runs := in[id]
		if (len(runs) == 0) != out[id] && c.printed[id] == 0 {
			c.fault("%s is in %d runs, left out %v", id, len(runs), out[id])
		}
		if x.NoSplit && len(runs) > 1 && c.Replan == nil {
			c.fault("%s is split", id)
		}
		made := int64(0)
		parts := map[int]bool{}
		for k, run := range runs {
			if c.Replan != nil && k < len(runs)-len(c.still(id)) { // as the plan before had it
				continue
			}
			if run.Group != runs[0].Group && c.Replan == nil {
				c.fault("%s is printed in two ways", id)
			}
			for _, o := range run.Orders {
				if o.Order != id {
					continue
				}
				made += o.Labels
				names := []string{}
				for _, other := range runs {
					if other != run {
						names = append(names, other.Name)
					}
				}
				if o.Split != (len(c.still(id)) > 1) || len(runs) > 1 && (o.Parts != len(runs) || o.Part < 1 || o.Part > o.Parts || parts[o.Part]) || len(runs) == 1 && o.Part+o.Parts > 0 || !slices.Equal(append([]string{}, o.Others...), names) {
					c.fault("%s: part %d of %d, the rest in %v", id, o.Part, o.Parts, o.Others)
				}
				parts[o.Part] = true
			}
		}
		if made += c.printed[id]; len(runs) > 0 && made < x.Quantity && !out[id] {
			c.fault("%s: %d of %d", id, made, x.Quantity)
		}
	}
}

// lateness checks what ends after its day, and that the urgent goes first.
func (c *nightCheck) lateness() {
	told := map[string]int{}
	for i, l := range c.Late {
		told[l.Run] = i + 1
		if i > 0 && l.LateMin > c.Late[i-1].LateMin {
			c.fault("%s is later than what stands before it", l.Run)
		}
	}
	day, _ := time.Parse(time.DateOnly, c.Day)
	urgent := map[string]int{}
	for i := range c.Runs {
		run := &c.Runs[i]
		end, first := c.worked(run.Press, run.End), math.Inf(1)
		var names []string
		top := math.MinInt
		for _, o := range run.Orders {
			top = max(top, o.Priority)
			due, err := time.Parse(time.DateOnly, o.Due)
			if err != nil {
				continue
			}
			until := c.night(run.Press) * max(0, due.Sub(day).Hours()/24+1)
			first = min(first, until)
			if end > until+1.01 {
				names = append(names, o.Order)
			}
		}
		late := max(0, end-first)
		at := told[run.Name]
		switch {
		case late > 1.01 && at == 0:
			c.fault("%s is %g min late, and nobody says it", run.Name, late)
		case late == 0 && (at > 0 || run.Late != 0):
			c.fault("%s is not late", run.Name)
		case at > 0:
			l := &c.Late[at-1]
			c.same(run.Name+": late", run.Late, late, 1.05)
			c.same(run.Name+": late as told", l.LateMin, run.Late, 0.001)
			if l.End != run.End || l.Due != run.Due || l.Orders != len(run.Orders) || late > 2.02 && !slices.Equal(slices.Sorted(slices.Values(l.Names)), slices.Sorted(slices.Values(names))) {
				c.fault("%s: late with %v, told %+v", run.Name, names, l)
			}
		}
		if before, known := urgent[run.Press]; known && top > before && c.nights == 1 && len(c.Late) == 0 {
			c.fault("%s is more urgent than what stands before it", run.Name)
		}
		urgent[run.Press] = top
	}
	if len(told) != len(c.Late) {
		c.fault("a run is told to be late twice")
	}
}

// groups checks what each group adds up to.
func (c *nightCheck) groups() {
	for gi := range c.Groups {
		g := &c.Groups[gi]
		if g.Printed { // as the plan before had it
			continue
		}
		runs, web := 0, 0.0
		of, inks, turns := map[string]bool{}, map[string]bool{}, map[int]bool{}
		for i := range c.Runs {
			if c.Runs[i].Group != gi+1 {
				continue
			}
			runs++
			web += c.gross(&c.Runs[i])
			for _, o := range c.Runs[i].Orders {
				of[o.Order] = true
				if o.Turn != nil {
					turns[*o.Turn] = true
				}
				for _, ink := range c.all[o.Order].Inks {
					inks[ink] = true
				}
			}
		}
		if g.Runs != runs || g.Orders != len(of) || len(inks) != len(g.Inks) || g.Alone && len(of) > 1 || g.Gap < 0 || g.Proved != (g.Gap == 0) {
			c.fault("group %d: %d runs, %d orders, %d inks, %+v", gi+1, runs, len(of), len(inks), g)
		}
		if !slices.Equal(slices.Sorted(maps.Keys(turns)), append([]int(nil), g.Turns...)) {
			c.fault("group %d: turned by %v, told %v", gi+1, slices.Sorted(maps.Keys(turns)), g.Turns)
		}
		c.same(fmt.Sprintf("the web of group %d", gi+1), g.Web, web, 0.01*float64(runs))
	}
}

// pressParts checks what each press adds up to.
func (c *nightCheck) pressParts() {
	for name, p := range c.presses {
		at := slices.IndexFunc(c.Presses, func(x seenPress) bool { return x.Press == name })
		x := &c.Presses[at]
		runs, busy, cost, start, end := 0, 0.0, int64(0), "", ""
		for i := range c.Runs {
			if run := &c.Runs[i]; run.Press == name {
				_, standing := c.minutes(run)
				runs, busy, cost, end = runs+1, busy+standing+run.Change, cost+run.Money, run.End
				if start == "" {
					start = run.Start
				}
			}
		}
		if x.Runs != runs || x.Money != cost || x.Start != start || x.End != end || len(x.Shifts) != len(p.Shifts) {
			c.fault("%s: %d runs for %d from %s to %s", name, runs, cost, start, end)
		}
		for i, s := range p.Shifts {
			clock := func(m int) string { return fmt.Sprintf("%02d:%02d", m/60%24, m%60) }
			if x.Shifts[i].From != clock(s.From) || x.Shifts[i].To != clock(s.From+s.Minutes()) {
				c.fault("%s works from %v", name, x.Shifts[i])
			}
		}
		c.same(name+": busy", x.Busy, busy, 0.02*float64(runs)+0.001)
		c.same(name+": hours", x.Hours, float64(c.nights)*c.night(name), 0.001)
	}
}

// sums checks what the night adds up to, by item and in all.
func (c *nightCheck) sums() {
	var net, gross, minutes, finish, wasted float64
	var ordered, labels, overs, scrap, money int64
	seen, items := map[string]bool{}, map[string]int64{}
	for i := range c.Runs {
		run := &c.Runs[i]
		p := c.presses[run.Press]
		net, gross, minutes, money = net+run.Net, gross+run.Gross, minutes+run.Minutes, money+run.Money
		wasted += run.Net * p.RunWaste.Float()
		if line := p.Finishing; line.DieCutting > 0 {
			finish += run.Gross/line.DieCutting.Metres() + line.SetupMin
		}
		for _, o := range run.Orders {
			ordered, labels, overs = ordered+o.Ordered, labels+o.Labels, overs+o.Overs
			scrap += o.Scrap
			seen[o.Order] = true
		}
		for _, part := range run.Parts {
			items[part.Item] += part.Money
		}
	}
	t := &c.Total
	for _, part := range t.Parts {
		if items[part.Item] != part.Money || part.Money == 0 {
			c.fault("%s: %d in all, runs have %d", part.Item, part.Money, items[part.Item])
		}
		delete(items, part.Item)
	}
	if len(items) > 0 || t.Runs != len(c.Runs) || t.Orders != len(seen) || t.Ordered != ordered || t.Labels != labels || t.Overs != overs || t.Money != money || t.Trimmed != labels-ordered-overs || t.Scrap != scrap {
		c.fault("in all %+v, runs say %d ordered, %d made, %d over for %d, left %v", t, ordered, labels, overs, money, items)
	}
	c.same("net web in all", t.Net, net, 0.001)
	c.same("web in all", t.Web, gross, 0.001)
	c.same("run waste in all", t.Waste, wasted, 0.01)
	c.same("make-ready in all", t.Setup, gross-net-wasted, 0.01)
	c.same("minutes in all", t.Minutes, minutes, 0.01)
	c.same("finishing in all", t.Finish, finish, 0.01)
	c.beside(len(seen))
}

// beside checks what the night is set beside: its bound, and every order alone.
func (c *nightCheck) beside(orders int) {
	t, b, a := &c.Total, &c.Bound, &c.Alone
	if b.Money < 0 || b.Money > t.Money || b.Runs > t.Runs || b.Web > t.Web+0.001 || b.Minutes > t.Minutes+0.001 || b.Runs < 1 || b.Web <= 0 || b.Minutes <= 0 {
		c.fault("the bound is %+v of %+v", b, t)
	}
	if b.Money > 0 { // less than a unit is told as none
		c.same("the gap", c.Gap, 100*float64(t.Money-b.Money)/float64(b.Money), 100*(2+float64(len(c.Runs))+float64(t.Money)/float64(b.Money))/float64(b.Money)) // runs are rounded, and so is the bound
	}
	if c.Proved != (c.Gap == 0) || c.Proved && t.Money-b.Money > 1+int64(len(c.Runs)) {
		c.fault("proved %v with a gap of %g %%", c.Proved, c.Gap)
	}
	if a.Runs != orders || a.SavedRuns != a.Runs-t.Runs || a.Saved != a.Money-t.Money || c.Schema != Schema || c.Lanes != map[bool]string{false: "whole", true: "mixed"}[c.rules.Mixed] || c.By != "money" || c.Currency != c.rules.House.Press.Prices.Currency || c.Unit != 1/c.units {
		c.fault("alone %+v; %s, %s lanes by %s, in %s of %g", a, c.Schema, c.Lanes, c.By, c.Currency, c.Unit)
	}
	c.same("web saved", a.SavedWeb, a.Web-t.Web, 0.001)
	c.same("minutes saved", a.SavedMin, a.Minutes-t.Minutes, 0.001)
	c.same("part of the web saved", a.Percent, 100*a.SavedWeb/a.Web, 0.001)
}
