package plan

import (
	"math"
	"slices"

	"quoin/geometry"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// First prices of webs that run out. They are found without a search, as if each order
// were its part of a full run on the way that costs it least: at each price that says
// how much of a web is asked for, and a plan of the night how much more of it is really
// taken than so.
const (
	priceSweeps = 3  // over all webs that have one
	priceHalves = 12 // of the span of one, each time
	priceTries  = 3  // until no other web runs out by it
	mostPrice   = 64 // times what the web costs
)

// offer is what an order costs and takes as its part of a full run on a way.
type offer struct {
	lot   lotKey
	as    *group
	cost  float64         // grains
	takes geometry.Length // of web
	area  float64         // m2
}

// asked is all orders' offers, with how much more of each web is taken.
type asked struct {
	orders [][]offer
	more   map[lotKey]float64
	grain  float64 // grains of a price of 1
}

// offersOf lists what the orders cost on all their ways, where a run is shared by so many.
func offersOf(orders []*intake.Order, sharing float64, r *night.Rules) (all [][]offer) {
	for _, o := range orders {
		var list []offer
		for _, f := range o.Ways {
			g, err := newGroup([]*intake.Order{o.On(f, r)}, r)
			if err != nil {
				continue
			}
			places, each := g.places(r)
			frames := float64(g.need(o, each, r)) / float64(places)
			frame, once := rate(g, len(g.inks), r)
			net := geometry.Length(frames * float64(f.Layout.Repeat))
			x := offer{lot: lotOf(g), as: g, cost: frames*float64(frame) + float64(once)/sharing,
				takes: g.terms.RunWaste.MoreLength(net) + geometry.Length(float64(g.terms.Setup)/sharing)}
			x.area = x.takes.Metres() * x.lot.width.Metres()
			list = append(list, x)
		}
		all = append(all, list)
	}
	return all
}

// takes returns how much of each web is taken at prices.
func (a *asked) takes(prices shadows) map[lotKey]geometry.Length {
	sum := map[lotKey]geometry.Length{}
	for _, list := range a.orders {
		least, at := math.Inf(1), -1
		for i, x := range list {
			cost := x.cost
			if s := prices.of(x.lot); s != nil && slices.Contains(s.lots, x.lot) {
				cost += x.area * s.now * a.grain
			}
			if cost < least {
				least, at = cost, i
			}
		}
		if at >= 0 {
			sum[list[at].lot] += list[at].takes
		}
	}
	for k, more := range a.more {
		sum[k] = geometry.Length(float64(sum[k]) * more)
	}
	return sum
}

// lasts reports whether a price's webs last at prices.
func (a *asked) lasts(s *shadow, prices shadows) bool {
	takes := a.takes(prices)
	return !slices.ContainsFunc(s.lots, func(k lotKey) bool {
		all, _ := k.metres()
		return takes[k] > all
	})
}

// firstPrices returns prices of the webs that groups run out of, and of those that would
// then run out in their place.
func firstPrices(groups []*group, orders []*intake.Order, r *night.Rules) shadows {
	runs, shares := 0, 0
	taken := map[lotKey]geometry.Length{}
	for _, g := range groups {
		taken[lotOf(g)] += g.takes(&g.plan).gross
		for _, run := range g.plan.Runs {
			runs, shares = runs+1, shares+len(run.Shares)
		}
	}
	a := &asked{orders: offersOf(orders, max(float64(shares)/float64(max(runs, 1)), 1), r), grain: unit(r.House.Press.Prices.Currency) * grains}
	a.more = map[lotKey]float64{}
	for k, n := range a.takes(nil) {
		a.more[k] = min(max(float64(taken[k])/float64(max(n, 1)), 1), 2)
	}
	prices := shadows(nil).add(shortages(groups), r)
	dear := map[*shadow]float64{}
	for range priceTries {
		for _, s := range prices {
			if dear[s] == 0 {
				dear[s] = firstPrice * s.now
			}
		}
		a.settle(prices, dear)
		come := a.drained(prices)
		if len(come) == 0 {
			break
		}
		prices = prices.add(come, r)
	}
	return prices
}

// settle finds the least prices at which the webs last, one after the other; where one
// lasts at none, it costs no more than where a dearer one spares nothing.
func (a *asked) settle(prices shadows, dear map[*shadow]float64) {
	for range priceSweeps {
		for _, s := range prices {
			low, high := 0.0, dear[s]/firstPrice
			for s.now = high; high < mostPrice*dear[s] && !a.lasts(s, prices); s.now = high {
				low, high = high, 2*high
			}
			if high >= mostPrice*dear[s] { // some orders have no other
				a.spare(s, prices, dear[s])
				continue
			}
			for range priceHalves {
				if s.now = (low + high) / 2; a.lasts(s, prices) {
					high = s.now
				} else {
					low = s.now
				}
			}
			s.now = high
		}
	}
}

// spare takes the least of some prices at which as little is taken as at any.
func (a *asked) spare(s *shadow, prices shadows, dear float64) {
	of := func() (sum geometry.Length) {
		takes := a.takes(prices)
		for _, k := range s.lots {
			sum += takes[k]
		}
		return sum
	}
	s.now = mostPrice * dear
	least := of()
	for s.now = dear / firstPrice; s.now < 2*dear && of() > least; {
		s.now *= 2
	}
}

// drained returns what runs out at the prices of other webs.
func (a *asked) drained(prices shadows) (out []shortage) {
	takes, seen := a.takes(prices), map[lotKey]bool{}
	for _, list := range a.orders {
		for _, x := range list {
			all, limited := x.lot.metres()
			s := prices.of(x.lot)
			if seen[x.lot] || !limited || takes[x.lot] <= all || s != nil && slices.Contains(s.lots, x.lot) {
				continue
			}
			seen[x.lot] = true
			out = append(out, shortage{x.as})
		}
	}
	return out
}
