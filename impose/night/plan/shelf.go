package plan

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
)

// lotKey is web in stock of one press and width: of one material, or of none, which all
// share that have none of their own.
type lotKey struct {
	press *job.Press
	stock string
	width geometry.Length
}

func lotOf(g *group) lotKey { return shelfOf(g).key() }

// metres returns how much of a web is in stock, and whether there is an end of it.
func (k lotKey) metres() (all geometry.Length, limited bool) {
	if k.press == nil {
		return 0, false
	}
	for _, l := range k.press.LotsOf(k.stock) {
		switch {
		case l.Width != k.width:
			continue
		case l.Length == 0:
			return 0, false
		}
		all, limited = all+l.Length, true
	}
	return all, limited
}

// shelf is where web of a material comes from, of one press and width.
type shelf struct {
	press *job.Press
	stock string
	width geometry.Length
}

func shelfOf(g *group) shelf { return shelf{g.press, g.stock, g.forme().Layout.Web.Width} }

func (s shelf) key() lotKey {
	if s.press != nil && slices.ContainsFunc(s.press.LotsOf(s.stock), func(l *job.Lot) bool { return l.Material == "" }) {
		return lotKey{s.press, "", s.width}
	}
	return lotKey(s)
}

// pricedLot is a lot with the price of a square metre.
type pricedLot struct {
	*job.Lot
	price float64
}

// lots returns what is in stock in the order in which it is used up: rests of rolls before
// full ones, and of both what costs least first.
func (s shelf) lots(r *night.Rules) (list []pricedLot) {
	if s.press == nil {
		return nil
	}
	for _, l := range s.press.LotsOf(s.stock) {
		if l.Width == s.width {
			list = append(list, pricedLot{l, cmp.Or(l.PerM2, pricesOn(s.press, r).Web(s.stock))})
		}
	}
	slices.SortStableFunc(list, func(a, b pricedLot) int {
		if a.Remainder != b.Remainder && a.Remainder {
			return -1
		} else if a.Remainder != b.Remainder {
			return 1
		}
		return cmp.Compare(a.price, b.price)
	})
	return list
}

// price returns what a square metre counts: as the dearest of the full rolls or, where
// there are but rests, of those. What is used up before those saves something.
func (s shelf) price(r *night.Rules) float64 {
	if lots := s.lots(r); len(lots) > 0 {
		return lots[len(lots)-1].price
	}
	return pricesOn(s.press, r).Web(s.stock)
}

// cheapest returns what a square metre costs at least, and no more than it counts.
func (s shelf) cheapest(r *night.Rules) float64 {
	least := s.price(r)
	for _, l := range s.lots(r) {
		least = min(least, l.price)
	}
	return least
}

// webPrice returns what a square metre of the group's web counts by the rules.
func webPrice(g *group, r *night.Rules) float64 {
	s := shelfOf(g)
	if s.press == nil {
		return pricesOf(g, r).Web(g.stock)
	}
	price := s.price(r)
	if r.Rests {
		price = s.cheapest(r)
	}
	return price + r.Short[s.key().web()]
}

// useRemainders lets the first runs on a web use up what comes first of it, and counts
// what that saves.
func useRemainders(p *Plan, spent []map[Item]int64) {
	used := lotsUsed{}
	for i := range p.Runs {
		g := p.Runs[i].group
		if saved := used.use(g, g.run(p.Runs[i].Frames).gross, p.rules); saved > 0 {
			spent[i][ItemRemainders] -= saved
		}
	}
}

// lotsUsed is how much of each lot is used up.
type lotsUsed map[*job.Lot]geometry.Length

// use takes so much web of a group's from the lots. It returns what that saves, in grains.
func (used lotsUsed) use(g *group, open geometry.Length, r *night.Rules) (saves int64) {
	s := shelfOf(g)
	price := webPrice(g, r)
	for _, l := range s.lots(r) {
		use := open
		if l.Length > 0 {
			use = min(open, l.Length-used[l.Lot])
		}
		if saved := price - l.price; saved > 0 {
			saves += int64(math.Round(use.Metres() * s.width.Metres() * saved * unit(pricesOf(g, r).Currency) * grains))
		}
		open -= use
		used[l.Lot] += use
	}
	return saves
}

// mostSaved is the most that lots which cost less than they count can save, in grains.
func mostSaved(p *Plan) int64 {
	most := map[*job.Lot]float64{} // by square metre
	for _, g := range p.groups {
		for _, s := range shelvesAround(g, p.rules) {
			price := s.price(p.rules)
			for _, l := range s.lots(p.rules) {
				most[l.Lot] = max(most[l.Lot], price-l.price)
			}
		}
	}
	sum := 0.0
	for l, saved := range most {
		switch {
		case saved > 0 && l.Length == 0: // no end of it
			return p.joint.Bound
		case saved > 0:
			sum += math.Ceil(l.Length.Metres() * l.Width.Metres() * saved * unit(p.Currency) * grains)
		}
	}
	return int64(sum)
}

// shelvesAround lists the webs that the group's orders might be printed on.
func shelvesAround(g *group, r *night.Rules) []shelf {
	var out []shelf
	for _, o := range g.orders {
		for _, f := range o.Ways {
			if s := (shelf{f.House(r.House).Press, g.stock, f.Layout.Web.Width}); !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	return out
}
