package plan

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/impose/night"
)

// Part is money by item, in the currency's smallest unit.
type Part struct {
	Item  Item  `json:"item"`
	Money int64 `json:"money"`
}

// reckonMoney prices the runs, their orders and the night. Each run is rounded to the
// smallest unit once; its items and its orders add up to it, and all runs to the
// night.
func reckonMoney(p *Plan) {
	total := map[Item]int64{}
	p.Total.Money = new(int64)
	spent := spentByItem(p)
	p.joint.Cost = 0
	press := map[string]int64{}
	for i := range p.Runs {
		run := &p.Runs[i]
		list := make([]int64, len(items))
		sum := int64(0)
		for k, item := range items {
			list[k] = spent[i][item]
			sum += list[k]
		}
		p.joint.Cost += sum
		run.Money = new(roundTo(sum, grains))
		run.Parts = nil
		for k, v := range apportion(*run.Money, list) {
			if v != 0 {
				run.Parts = append(run.Parts, Part{items[k], v})
				total[items[k]] += v
			}
		}
		weights := make([]int64, len(run.Orders))
		for k, s := range run.Orders {
			l := s.order.Forme.Layout.Label
			weights[k] = s.Stations * int64(l.Across/geometry.Micrometre) * int64(l.Around/geometry.Micrometre) / 1000
		}
		for k, v := range apportion(*run.Money, weights) {
			run.Orders[k].Money = new(v)
		}
		*p.Total.Money += *run.Money
		press[run.Press] += *run.Money
	}
	p.Total.Parts = []Part{}
	for _, item := range items {
		if v := total[item]; v != 0 {
			p.Total.Parts = append(p.Total.Parts, Part{item, v})
		}
	}
	for i := range p.Presses {
		p.Presses[i].Money = press[p.Presses[i].Press]
	}
	boundMoney(p)
}

// spentByItem returns what each run costs by item, in grains.
func spentByItem(p *Plan) []map[Item]int64 {
	out := make([]map[Item]int64, len(p.Runs))
	for i := range p.Runs {
		run := &p.Runs[i]
		m := map[Item]int64{}
		for item, x := range tariffOf(run.group, len(run.group.inks), p.rules) {
			m[item] += x.frame*run.Frames + x.once
		}
		for item, v := range run.changed {
			m[item] += v
		}
		prices := pricesOf(run.group, p.rules)
		count := func(item Item, n int64, price float64) {
			m[item] += int64(math.Round(float64(n) * price * unit(prices.Currency) * grains))
		}
		for _, s := range run.Orders {
			count(ItemRolls, s.Rolls+s.PartRolls, prices.PerRoll)
			count(ItemPartRolls, s.PartRolls, prices.PerPartRoll)
			count(ItemSplices, s.splices, prices.PerSplice)
			count(ItemOvers, s.Overs, prices.PerOver)
		}
		if p.rules.Mixed {
			m[ItemSorting] += run.sorted() * sortPrice(prices)
		}
		out[i] = m
	}
	useRemainders(p, out)
	return out
}

// sorted counts the labels in lanes that hold several orders.
func (r *Run) sorted() int64 {
	first, rows, n := int64(0), int64(r.Rows), int64(0)
	mixed := map[int64]bool{}
	for _, s := range r.Orders {
		for _, at := range []int64{first, first + s.Stations} {
			if at%rows != 0 {
				mixed[at/rows] = true
			}
		}
		first += s.Stations
	}
	for lane := range mixed {
		n += min(rows, first-lane*rows) * r.Frames
	}
	return n
}

// boundMoney sets the night beside what no plan undercuts: the bound of its runs,
// the rolls that its orders fill at least, and what must change between them, less
// all that rests of rolls can save.
func boundMoney(p *Plan) {
	bound, rolls := p.joint.Bound+p.joint.Visits.least(len(p.Presses)), int64(0)
	seen := map[int]bool{}
	for _, g := range p.groups {
		prices := pricesOf(g, p.rules)
		for _, o := range g.orders {
			if !seen[o.Index] && o.PerRoll > 0 && !p.rules.Mixed {
				rolls += rollsCost(o, prices)
			}
			seen[o.Index] = true
		}
	}
	bound = rolls + max(bound-mostSaved(p), p.joint.Least)
	bound = max(0, min(bound, p.joint.Cost))
	p.Bound.Money = new(min(bound/grains, *p.Total.Money))
	if p.GapPercent = 0; bound > 0 {
		p.GapPercent = 100 * float64(p.joint.Cost-bound) / float64(bound)
	}
	p.Proved = bound == p.joint.Cost
}

// roundTo divides and rounds to the nearest, halves away from 0.
func roundTo(v, by int64) int64 {
	if v < 0 {
		return -roundTo(-v, by)
	}
	return (v + by/2) / by
}

// apportion shares a sum out by weights, whole and to the last unit: each gets its
// part rounded down, and what is left goes to those of the largest rest.
func apportion(sum int64, weights []int64) []int64 {
	out := make([]int64, len(weights))
	all := 0.0
	for _, w := range weights {
		all += float64(w)
	}
	if all == 0 {
		if len(out) > 0 {
			out[0] = sum
		}
		return out
	}
	type rest struct {
		at   int
		part float64
	}
	var rests []rest
	left := sum
	for i, w := range weights {
		exact := float64(sum) * float64(w) / all
		out[i] = int64(math.Floor(exact))
		left -= out[i]
		if w != 0 {
			rests = append(rests, rest{i, exact - math.Floor(exact)})
		}
	}
	slices.SortStableFunc(rests, func(a, b rest) int { return cmp.Compare(b.part, a.part) })
	for k := range left {
		out[rests[int(k)%len(rests)].at]++
	}
	return out
}

// money reports whether the plan is counted in it.
func (p *Plan) money() bool { return p.By == night.Money }
