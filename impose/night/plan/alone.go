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
	cost   int64 // with its rolls and overs, in grains
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
	used := lotsUsed{}
	for _, run := range runs {
		sum += run.cost - used.use(run.group, run.run(run.frames).gross, p.rules)
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
		all, limited := lotOf(g).metres()
		for _, x := range cutEither(g, p.rules) {
			run, own := apart{x, p.rules}.run(x.orders[0])
			short := limited && x.run(run.Frames).gross > all
			if cost := runsCost(x, run.Frames, 1, by) + own; best.group == nil || scarce && !short || scarce == short && cost < least {
				least, scarce, best = cost, short, aloneRun{x, run.Frames, runsCost(x, run.Frames, 1, p.rules) + own}
			}
		}
	}
	return best
}

// cutEither returns a group of one order with its rolls cut anywhere and, where a plan
// may have it so, in whole rolls.
func cutEither(g *group, r *night.Rules) []*group {
	if r.By != night.Money || r.Mixed || r.WholeRolls || g.orders[0].PerRoll == 0 {
		return []*group{g}
	}
	anywhere, whole, rolls := *g, *g, *r
	anywhere.orders, anywhere.roll = inRolls(g.orders, 0), 0
	rolls.WholeRolls = true
	o := anywhere.orders[0].InWholeRolls(&rolls)
	if o.RollFrames == 0 {
		return []*group{&anywhere}
	}
	whole.orders, whole.roll = []*intake.Order{o}, o.RollFrames
	return []*group{&anywhere, &whole}
}

// run returns the run of an order, and what its rolls and the labels beyond it cost, in
// grains.
func (a apart) run(o *intake.Order) (run *Run, own int64) {
	g, r, prices := a.group, a.rules, pricesOf(a.group, a.rules)
	places, each := g.places(r)
	run = &Run{Frames: a.frames(o, places, each), Rows: int(each), group: g}
	lanes := (g.need(o, each, r) + run.Frames - 1) / run.Frames
	if o.PerRoll > 0 && !r.Mixed {
		own = run.rolled(o, lanes, cmp.Or(o.Splices, r.House.Roll.Splices), prices)
	}
	return run, own + run.beyond(o, lanes, prices)
}

// rolled prices the rolls of an order's lanes in a run, in grains.
func (run *Run) rolled(o *intake.Order, lanes int64, splices *bool, prices *job.Prices) int64 {
	s := Share{LabelsPerRoll: o.PerRoll}
	s.countRolls(run, lanes, splices)
	cost := float64(s.Rolls+s.PartRolls)*prices.PerRoll + float64(s.PartRolls)*prices.PerPartRoll + float64(s.splices)*prices.PerSplice
	return int64(math.Round(cost * unit(prices.Currency) * grains))
}

// beyond prices the labels of an order's lanes in a run that are more than it needs, in
// grains.
func (run *Run) beyond(o *intake.Order, lanes int64, prices *job.Prices) int64 {
	made := run.group.good(o, lanes*run.Frames*int64(run.Rows), lanes*run.Frames)
	return int64(math.Round(float64(max(0, made-(o.Quantity-o.Printed))) * prices.PerOver * unit(prices.Currency) * grains))
}

// rollsCost is what the rolls of an order cost at least.
func rollsCost(o *intake.Order, prices *job.Prices) int64 {
	return int64(math.Floor(float64(o.Rolls()) * prices.PerRoll * unit(prices.Currency) * grains))
}
