package plan

import (
	"math"
	"strings"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/night"
)

// Money is counted in grains, millionths of the currency's smallest unit, so
// that the search compares whole numbers; people see the smallest unit.
const grains = 1_000_000

// Item is what money is spent on.
type Item string

// The items, in the order of a bill.
const (
	ItemWeb        Item = "web"         // that labels stand on
	ItemWaste      Item = "run waste"   // web spoiled while running
	ItemMakeReady  Item = "make-ready"  // web spent before the first good label
	ItemInk        Item = "ink"         // on printed web
	ItemPress      Item = "press"       // its running minutes
	ItemSetUp      Item = "set-up"      // its minutes, and the price of a make-ready
	ItemUnwinder   Item = "unwinder"    // minutes that the web stands for a roll change
	ItemFinishing  Item = "finishing"   // the finishing line's minutes
	ItemWear       Item = "consumables" // parts that wear
	ItemMaterial   Item = "material change"
	ItemWidth      Item = "web change"
	ItemInkChange  Item = "ink change"
	ItemDieChange  Item = "die change"
	ItemRolls      Item = "rolls"      // made ready
	ItemPartRolls  Item = "part rolls" // beside that
	ItemSplices    Item = "splices"
	ItemOvers      Item = "overs"      // labels beyond the order
	ItemSorting    Item = "sorting"    // of lanes that hold several orders
	ItemRemainders Item = "remainders" // saved by using up rests of rolls, and rolls that cost less: not above 0
)

// items lists all, as a bill has them.
var items = []Item{
	ItemWeb, ItemWaste, ItemMakeReady, ItemInk, ItemPress, ItemSetUp, ItemUnwinder, ItemFinishing, ItemWear,
	ItemMaterial, ItemWidth, ItemInkChange, ItemDieChange, ItemRolls, ItemPartRolls, ItemSplices, ItemOvers, ItemSorting, ItemRemainders,
}

// tariff is what a run of a group costs by item, in grains: for each frame and
// once.
type tariff map[Item]struct{ frame, once int64 }

func (t tariff) sum() (frame, once int64) {
	for _, x := range t {
		frame += x.frame
		once += x.once
	}
	return frame, once
}

// pricesOf returns the prices of the group's press, or else the house's.
func pricesOf(g *group, r *night.Rules) *job.Prices {
	if g.press != nil && g.press.Prices != nil {
		return g.press.Prices
	}
	return r.House.Press.Prices
}

// tariffOf prices the group's runs with so many inks. What the press counts by the
// minute or the roll is shared out over the web, so that a run costs as much for
// each frame.
func tariffOf(g *group, inks int, r *night.Rules) tariff {
	terms := g.terms
	if inks != len(g.inks) {
		terms, _ = g.forme().House(r.House).Terms(inks)
	}
	p, l := pricesOf(g, r), g.forme().Layout
	money := func(amount float64) int64 { return int64(math.Round(amount * unit(p.Currency) * grains)) }
	perM := webPrice(g, r) * l.Web.Width.Metres()
	net := l.Repeat.Metres()
	gross := terms.RunWaste.MoreLength(l.Repeat).Metres()
	setup := terms.Setup.Metres()
	t := tariff{}
	add := func(item Item, frame, once float64) {
		t[item] = struct{ frame, once int64 }{money(frame), money(once)}
	}
	add(ItemWeb, net*perM, 0)
	add(ItemWaste, (gross-net)*perM, 0)
	add(ItemMakeReady, 0, setup*perM)
	add(ItemInk, net*l.Web.Width.Metres()*p.InkPerM2*float64(inks), 0)
	minute, setUp := p.PressPerHour/60+r.Scarce[g.press], terms.SetupMin
	run := 0.0
	if speed := terms.Speed.Metres(); speed > 0 {
		run = 1 / speed
	}
	add(ItemPress, gross*run*minute, 0)
	add(ItemSetUp, 0, (setup*run+setUp)*minute+p.PerSetup)
	if line := g.finishing; line.DieCutting > 0 {
		each := p.FinishPerHour / 60 / line.DieCutting.Metres()
		add(ItemFinishing, gross*each, setup*each+line.SetupMin*p.FinishPerHour/60)
	}
	if g.press == nil {
		return t
	}
	change := rollChange(g, terms) * minute
	add(ItemUnwinder, gross*change, setup*change)
	wear := 0.0
	for _, c := range g.press.Consumables {
		wear += c.Price / c.Life.Metres()
	}
	add(ItemWear, gross*wear, setup*wear)
	return t
}

// rollChange returns the minutes that the web stands for each metre of it, for
// new rolls.
func rollChange(g *group, t geometry.Terms) float64 {
	u := g.press.Unwinder
	switch {
	case u.NonStop:
		return 0
	case u.MasterRoll > 0:
		return u.RollChange / u.MasterRoll.Metres()
	case t.Speed > 0:
		return u.SavedPerHour / 60 / t.Speed.Metres()
	}
	return 0
}

// unit returns how many of its smallest units a currency has: a hundred, but for
// those that ISO 4217 gives none or three decimals (from memory).
func unit(currency string) float64 {
	switch strings.ToUpper(strings.TrimSpace(currency)) {
	case "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "VND", "VUV", "XAF", "XOF", "XPF":
		return 1
	case "BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND":
		return 1000
	}
	return 100
}
