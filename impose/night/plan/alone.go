package plan

import (
	"cmp"
	"math"
	"slices"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// aloneRun is an order in a run of its own.
type aloneRun struct {
	*group
	frames int64
	cost   int64 // with its rolls, in grains
}

// reckonAlone sets the night beside a run for every order, by money.
func reckonAlone(p *Plan) {
	if p.Total.Money == nil {
		return
	}
	money := aloneMoney(p, p.rules)
	for _, other := range rivalRules(orders(p), p.rules) {
		if other.Rests {
			money = min(money, aloneMoney(p, other))
		}
	}
	p.Alone.Money, p.Alone.SavedMoney = &money, new(money-*p.Total.Money)
}

// orders lists those of the plan, one that is split as often as it has groups.
func orders(p *Plan) (list []*intake.Order) {
	for _, g := range p.groups {
		list = append(list, g.orders...)
	}
	return list
}

// aloneMoney prices a run for every order that the plan prints: each where it costs
// least alone by some rules, like runs one after the other on each press. The first use
// up the rests of rolls.
func aloneMoney(p *Plan, by *night.Rules) int64 {
	var runs []aloneRun
	open := printedIn(p)
	for _, o := range orders(p) {
		if !open[o.Index] {
			continue
		}
		delete(open, o.Index)
		if best := cheapestAlone(p, o, by); best.group != nil {
			runs = append(runs, best)
		}
	}
	slices.SortStableFunc(runs, func(a, b aloneRun) int {
		x, y := a.forme(), b.forme()
		return cmp.Or(cmp.Compare(a.press.Name, b.press.Name), cmp.Compare(a.stock, b.stock), cmp.Compare(x.Layout.Web.Width, y.Layout.Web.Width),
			cmp.Compare(x.Die, y.Die), cmp.Compare(len(a.inks), len(b.inks)), cmp.Compare(inksKey(a.inks), inksKey(b.inks)))
	})
	sum := int64(0)
	var before *group
	left := restsLeft{}
	for _, run := range runs {
		sum += run.cost - left.use(run.group, run.run(run.frames).gross, p.rules)
		if before != nil && before.press == run.press {
			sum += (&table{press: run.press, p: p}).passes(before.set(), run.group).cost
		}
		before = run.group
	}
	return roundTo(sum, grains)
}

// cheapestAlone lays an order alone in every way and keeps that of the least cost by
// some rules, of webs that there is enough of before others, priced by the plan's.
func cheapestAlone(p *Plan, o *intake.Order, by *night.Rules) (best aloneRun) {
	ways := o.Ways
	if len(ways) == 0 {
		ways = []*intake.Forme{o.Forme}
	}
	least, scarce := int64(0), false
	for _, f := range ways {
		one := o.On(f, p.rules)
		g, err := newGroup([]*intake.Order{one}, p.rules)
		if err != nil {
			continue
		}
		places, each := g.places(p.rules)
		frames, rolls := apart{g, p.rules}.frames(one, places, each), int64(0)
		if one.PerRoll > 0 && !p.rules.Mixed {
			lanes := (g.need(one, each, p.rules) + frames - 1) / frames
			rolls = (&Run{Frames: frames, Rows: int(each), group: g}).rolled(one, lanes, cmp.Or(o.Splices, p.rules.House.Roll.Splices), pricesOf(g, p.rules))
		}
		all, limited := lotOf(g).metres()
		short := limited && g.run(frames).gross > all
		if cost := runsCost(g, frames, 1, by) + rolls; best.group == nil || scarce && !short || scarce == short && cost < least {
			least, scarce, best = cost, short, aloneRun{g, frames, runsCost(g, frames, 1, p.rules) + rolls}
		}
	}
	return best
}

// rolled prices the rolls of an order's lanes in a run, in grains.
func (run *Run) rolled(o *intake.Order, lanes int64, splices *bool, prices *job.Prices) int64 {
	s := Share{LabelsPerRoll: o.PerRoll}
	s.countRolls(run, lanes, splices)
	cost := float64(s.Rolls+s.PartRolls)*prices.PerRoll + float64(s.PartRolls)*prices.PerPartRoll + float64(s.splices)*prices.PerSplice
	return int64(math.Round(cost * unit(prices.Currency) * grains))
}

// rollsCost is what the rolls of an order cost at least.
func rollsCost(o *intake.Order, prices *job.Prices) int64 {
	return int64(math.Floor(float64(o.Rolls()) * prices.PerRoll * unit(prices.Currency) * grains))
}
