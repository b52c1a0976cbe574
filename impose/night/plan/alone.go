package plan

import (
	"cmp"
	"math"
	"slices"

	"quoin/impose/job"
	"quoin/impose/night/intake"
)

// aloneRun is an order in a run of its own.
type aloneRun struct {
	*group
	cost int64 // with its rolls, in grains
}

// reckonAlone sets the night beside a run for every order, by money.
func reckonAlone(p *Plan) {
	if p.Total.Money != nil {
		money := aloneMoney(p)
		p.Alone.Money, p.Alone.SavedMoney = &money, new(money-*p.Total.Money)
	}
}

// aloneMoney prices a run for every order that the plan prints: each where it costs
// least alone, like runs one after the other on each press.
func aloneMoney(p *Plan) int64 {
	var runs []aloneRun
	open := printedIn(p)
	for _, g := range p.groups {
		for _, o := range g.orders {
			if !open[o.Index] {
				continue
			}
			delete(open, o.Index)
			if best := cheapestAlone(p, o); best.group != nil {
				runs = append(runs, best)
			}
		}
	}
	slices.SortStableFunc(runs, func(a, b aloneRun) int {
		x, y := a.forme(), b.forme()
		return cmp.Or(cmp.Compare(a.press.Name, b.press.Name), cmp.Compare(a.stock, b.stock), cmp.Compare(x.Layout.Web.Width, y.Layout.Web.Width),
			cmp.Compare(x.Die, y.Die), cmp.Compare(len(a.inks), len(b.inks)), cmp.Compare(inksKey(a.inks), inksKey(b.inks)))
	})
	sum := int64(0)
	var before *group
	for _, run := range runs {
		sum += run.cost
		if before != nil && before.press == run.press {
			sum += (&table{press: run.press, p: p}).passes(before.set(), run.group).cost
		}
		before = run.group
	}
	return roundTo(sum, grains)
}

// cheapestAlone lays an order alone in every way and keeps that of the least cost.
func cheapestAlone(p *Plan, o *intake.Order) (best aloneRun) {
	ways := o.Ways
	if len(ways) == 0 {
		ways = []*intake.Forme{o.Forme}
	}
	for _, f := range ways {
		one := o.On(f, p.rules)
		g, err := newGroup([]*intake.Order{one}, p.rules)
		if err != nil {
			continue
		}
		places, each := g.places(p.rules)
		frames := apart{g, p.rules}.frames(one, places, each)
		frame, once := rate(g, len(g.inks), p.rules)
		cost := frame*frames + once
		if one.PerRoll > 0 && !p.rules.Mixed {
			lanes := (g.need(one, each, p.rules) + frames - 1) / frames
			cost += (&Run{Frames: frames, Rows: int(each), group: g}).rolled(one, lanes, cmp.Or(o.Splices, p.rules.House.Roll.Splices), pricesOf(g, p.rules))
		}
		if best.group == nil || cost < best.cost {
			best = aloneRun{g, cost}
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
