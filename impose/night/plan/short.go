package plan

import (
	"context"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// Prices for webs of which there is too little are tried so often, and at first as this
// part of what the web costs.
const (
	mostPriced = 5
	firstPrice = 8
	// mostSpared is of how many orders webs are priced: to plan more so often takes long.
	mostSpared = 60
)

// shadow is the price that a web counts beside its own while it is chosen what to print
// where, on the presses that have too little of it: between one at which more is taken
// than there is and one at which it lasts.
type shadow struct {
	now, low, high float64
	lots           []lotKey
}

// left returns how much is left of all that there is of the web: less than nothing where
// groups take more.
func (s *shadow) left(groups []*group) (sum geometry.Length) {
	for _, k := range s.lots {
		all, _ := k.metres()
		sum += all
	}
	for _, g := range groups {
		if slices.Contains(s.lots, lotOf(g)) {
			sum -= g.takes(&g.plan).gross
		}
	}
	return sum
}

// next takes the next price to try.
func (s *shadow) next(lasts bool) {
	if lasts {
		s.high = s.now
	} else {
		s.low = s.now
	}
	if s.high > 0 {
		s.now = (s.low + s.high) / 2
	} else {
		s.now = 2 * s.low
	}
}

// shadows are the prices of webs by material and width, in the order in which they ran
// out.
type shadows []*shadow

// of returns the price of a lot's web; nil where it hasn't run out on any press.
func (all shadows) of(k lotKey) *shadow {
	for _, s := range all {
		if s.lots[0].stock == k.stock && s.lots[0].width == k.width {
			return s
		}
	}
	return nil
}

// add takes in what has run out.
func (all shadows) add(over []shortage, r *night.Rules) shadows {
	for _, x := range over {
		k := lotOf(x.group)
		s := all.of(k)
		if s == nil {
			s = &shadow{now: webPrice(x.group, r) / firstPrice}
			all = append(all, s)
		}
		if !slices.Contains(s.lots, k) {
			s.lots = append(s.lots, k)
		}
	}
	return all
}

// inStock is what the prices make of all web that there is, in grains.
func (all shadows) inStock(r *night.Rules) int64 {
	sum := 0.0
	for _, s := range all {
		for _, k := range s.lots {
			length, _ := k.metres()
			sum += math.Ceil(length.Metres() * k.width.Metres() * s.now * unit(r.House.Press.Prices.Currency) * grains)
		}
	}
	return int64(sum)
}

// priced returns the rules with the prices.
func (all shadows) priced(r *night.Rules) *night.Rules {
	other := *r
	other.Time, other.Tell, other.Stands, other.Short = max(r.Time/mostPriced, 1), nil, nil, map[night.StockWeb]float64{}
	for _, s := range all {
		for _, k := range s.lots {
			other.Short[k.web()] = s.now
		}
	}
	return &other
}

// sparing takes what costs less of the plans that spare webs of which there is too
// little, where all orders are printed and they are not many.
func (c *picked) sparing(ctx context.Context, in *intake.Taken, r *night.Rules) error {
	if len(c.left) > 0 || len(c.short) == 0 || len(in.Orders) > mostSpared {
		return nil
	}
	lists, err := c.priced(ctx, in.Orders, r)
	if err != nil || len(lists) == 0 {
		return err
	}
	if err := c.blend(ctx, lists, in, r); err != nil {
		return err
	}
	groups, err := inStock(ctx, c.groups, in.Orders, r)
	if err != nil || groups == nil {
		return err
	}
	return c.blend(ctx, [][]*group{groups}, in, r)
}

// priced plans the orders again with webs at a price beside their own of which there is
// too little in stock, so that those orders take others that lose least by it. Whatever
// the price, no plan costs less than the least with it, without what it makes of all
// that is in stock: none prints on more (Lagrange's relaxation of what is in stock).
func (c *picked) priced(ctx context.Context, orders []*intake.Order, r *night.Rules) (lists [][]*group, err error) {
	prices := shadows(nil).add(c.short, r)
	for range mostPriced {
		other := prices.priced(r)
		x, err := choices(ctx, orders, other)
		if err != nil {
			return nil, err
		}
		if len(x.left) > 0 {
			return lists, nil
		}
		c.knows(x, prices, orders, r)
		lasting := slices.DeleteFunc(append(x.others, x.groups), func(groups []*group) bool { return len(overdrawn(groups)) > 0 })
		come, err := restated(ctx, lasting, other, r)
		if err != nil {
			return nil, err
		}
		lists = append(lists, come...)
		for _, s := range prices {
			s.next(s.left(x.groups) >= 0)
		}
		prices = prices.add(shortages(x.groups), r)
	}
	return lists, nil
}

// knows takes in the bound of a plan of all orders at prices, without what these make of
// all that is in stock.
func (c *picked) knows(x *picked, prices shadows, orders []*intake.Order, r *night.Rules) {
	if len(x.left) == 0 && !rested(orders, r) { // what rests save is not in the bound
		c.joint.Least = max(c.joint.Least, x.joint.Bound+x.joint.Visits.least(len(presses(r)))-prices.inStock(r))
	}
}

func (k lotKey) web() night.StockWeb {
	return night.StockWeb{Press: k.press, Stock: k.stock, Width: k.width}
}
