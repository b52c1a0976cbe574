package plan

import (
	"context"
	"slices"
	"time"

	"quoin/geometry/gang"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// Days says what keeping due days has cost: the plan of least money beside the one
// that was taken because fewer orders are late in it.
type Days struct {
	CheapestMoney  int64   `json:"cheapest_money"`
	CheapestOrders int     `json:"cheapest_late_orders"` // that would be late
	CheapestMin    float64 `json:"cheapest_late_min"`    // of all their runs
	LateOrders     int     `json:"late_orders"`
	LateMin        float64 `json:"late_min"`
	Money          int64   `json:"money"` // that keeping them costs; below 0 where it costs nothing
}

// keeping looks for a plan in which fewer orders are late than in that of least money.
type keeping struct {
	ctx   context.Context
	rules *night.Rules
	in    *intake.Taken
	fixed []*group // of runs that stay as they were planned
	clock *clockwork
}

// keepDays takes other groups where those of least money are late: due days go before
// money. Other groups are those of each day's orders by themselves, and those where the
// minutes of a press that has too few count for more; then they change presses, and
// part by their days.
func (c *picked) keepDays(ctx context.Context, fixed []*group, in *intake.Taken, r *night.Rules) error {
	if r.By != night.Money || !slices.ContainsFunc(in.Orders, func(o *intake.Order) bool { return !o.Due.IsZero() }) {
		return nil
	}
	whole := func(groups []*group) *Plan {
		x := *c
		x.groups = slices.Concat(fixed, groups)
		return lay(&x, in, r)
	}
	first := whole(c.groups)
	if len(first.Late) == 0 {
		return nil
	}
	k := &keeping{ctx, r, in, fixed, newClockwork(r, first)}
	best, at := c.groups, k.score(c.groups)
	starts := [][]*group{k.loose(c.groups)}
	for _, scarce := range k.scarce(first) {
		groups, err := k.byDay(scarce)
		if err != nil {
			return err
		}
		if groups != nil {
			starts = append(starts, k.loose(groups))
		}
	}
	for _, start := range starts {
		if s := k.score(start); s.compare(at) < 0 {
			best, at = start, s
		}
	}
	best = k.improve(best)
	if err := ctx.Err(); err != nil {
		return err
	}
	now := whole(best)
	if !keepsMore(now, first) {
		return nil
	}
	for _, g := range best {
		if !slices.Contains(c.groups, g) {
			g.judge(ctx, r)
		}
	}
	c.groups = best
	c.days = &Days{
		CheapestMoney: *first.Total.Money, CheapestOrders: LateOrders(first.Late), CheapestMin: lateMin(first),
		LateOrders: LateOrders(now.Late), LateMin: lateMin(now), Money: *now.Total.Money - *first.Total.Money,
	}
	return ctx.Err()
}

// missed weighs the orders that are late by their priority.
func missed(p *Plan) (sum int) {
	seen := map[string]bool{}
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			if slices.Contains(p.Runs[i].late, s.Order) && !seen[s.Order] {
				seen[s.Order] = true
				sum += 1 + max(0, s.Priority)
			}
		}
	}
	return sum
}

// keepsMore reports whether fewer orders are late than in another plan. Where as many
// are, being less late is worth no money.
func keepsMore(p, other *Plan) bool {
	if a, b := missed(p), missed(other); a != b {
		return a < b
	}
	return lateMin(p) < lateMin(other) && *p.Total.Money <= *other.Total.Money
}

func (k *keeping) score(groups []*group) score { return k.clock.all(slices.Concat(k.fixed, groups)) }

// manyDays is the number of orders above which their days are planned in one way only.
const manyDays = 300

// scarce says for each further plan what the minutes of presses count beside their
// price: nothing, and where a press is busier than its hours as much again.
func (k *keeping) scarce(p *Plan) []map[*job.Press]float64 {
	m := map[*job.Press]float64{}
	for i, t := range p.tables {
		if x := p.Presses[i]; t.press != nil && x.BusyMin > x.HoursMin {
			m[t.press] = pricesOn(t.press, p.rules).PressPerHour / 60
		}
	}
	switch {
	case len(m) == 0:
		return []map[*job.Press]float64{nil}
	case len(k.in.Orders) > manyDays: // of which one plan by days takes long enough
		return []map[*job.Press]float64{m}
	}
	return []map[*job.Press]float64{nil, m}
}

// byDay plans the orders of each day by themselves; nil where something is left out.
func (k *keeping) byDay(scarce map[*job.Press]float64) (out []*group, err error) {
	days := k.days()
	for _, orders := range days {
		r := *k.rules
		r.Scarce, r.Tell, r.Stands = scarce, nil, nil
		r.Time = max(r.Time*time.Duration(len(orders))/time.Duration(4*len(k.in.Orders)), time.Millisecond)
		c, err := pick(k.ctx, orders, &r)
		if err != nil {
			return nil, err
		}
		if len(c.left) > 0 {
			return nil, nil
		}
		out = append(out, c.groups...)
	}
	if len(overdrawn(slices.Concat(k.fixed, out))) > 0 {
		return nil, nil
	}
	for _, g := range out {
		g.plan.Cost = runsCost(g, g.plan.Length, len(g.plan.Runs), k.rules)
	}
	return out, nil
}

// days parts the orders by the nights that they are due; what is late anyway is due
// with the first, and what is pinned together with the first of them.
func (k *keeping) days() (out [][]*intake.Order) {
	base := k.rules.Day
	if base.IsZero() {
		for _, o := range k.in.Orders {
			if !o.Due.IsZero() && (base.IsZero() || o.Due.Before(base)) {
				base = o.Due
			}
		}
	}
	day := func(o *intake.Order) int {
		if o.Due.IsZero() {
			return max(k.rules.Nights, 1)
		}
		return min(max(k.rules.Nights, 1), max(0, int(o.Due.Sub(base).Hours()/24)))
	}
	on := make([]int, len(k.in.Orders))
	for i, o := range k.in.Orders {
		on[i] = day(o)
	}
	for _, set := range bundles(k.in.Orders, k.rules) {
		least := on[set[0]]
		for _, i := range set {
			least = min(least, on[i])
		}
		for _, i := range set {
			on[i] = least
		}
	}
	for d := range max(k.rules.Nights, 1) + 1 {
		var some []*intake.Order
		for i, o := range k.in.Orders {
			if on[i] == d {
				some = append(some, o)
			}
		}
		if len(some) > 0 {
			out = append(out, some)
		}
	}
	return out
}

// loose parts groups into such as share no order's runs: each may go to another press.
func (k *keeping) loose(groups []*group) (out []*group) {
	for _, g := range groups {
		together := joined[int]{}
		for _, run := range g.plan.Runs {
			for _, s := range run.Shares {
				together.join(s.Order, run.Shares[0].Order)
			}
		}
		parts := map[int]*group{}
		place := make([]int, len(g.orders))
		var list []int
		for i, o := range g.orders {
			at := together.root(i)
			if parts[at] == nil {
				parts[at] = &group{}
				list = append(list, at)
			}
			place[i] = len(parts[at].orders)
			parts[at].orders = append(parts[at].orders, o)
		}
		if len(list) == 1 {
			out = append(out, g)
			continue
		}
		for _, at := range list {
			part, err := newGroup(parts[at].orders, k.rules)
			if err != nil {
				return groups
			}
			for _, run := range g.plan.Runs {
				if together.root(run.Shares[0].Order) != at {
					continue
				}
				next := gang.Run{Length: run.Length}
				for _, s := range run.Shares {
					next.Shares = append(next.Shares, gang.Share{Order: place[s.Order], Lanes: s.Lanes})
				}
				part.plan.Runs = append(part.plan.Runs, next)
				part.plan.Length += run.Length
			}
			part.plan.Cost = runsCost(part, part.plan.Length, len(part.plan.Runs), k.rules)
			out = append(out, part)
		}
	}
	return out
}
