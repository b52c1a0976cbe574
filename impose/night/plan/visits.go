package plan

import (
	"math"

	"quoin/impose/night"
)

// visits counts what must be set up in the night, whatever is chosen, and what a
// change to it costs at least, in grains. A press begins with one of each.
type visits struct {
	Stocks, Dies, Pairs int // Dies are sets of dies that no other label takes; pairs are of both
	Stock, Die          int64
	// Where families count what it costs to enter a die: what is counted though it need
	// not be, by the first family of each press and the first run of each ink; and by how
	// much a change of the stock or the die costs more than what is counted, at least.
	Entered            bool
	Free               int64
	StockMore, DieMore int64
}

// least is what the changes between runs cost at least, beside what families count
// for their dies. Each change to a pair is one to another material or die.
func (v *visits) least(presses int) int64 {
	beyond := func(n int) int64 { return int64(max(0, n-presses)) }
	stocks, dies := beyond(v.Stocks), beyond(v.Dies)
	if v.Entered {
		return stocks*v.StockMore + dies*v.DieMore - v.Free
	}
	return stocks*v.Stock + dies*v.Die + max(0, beyond(v.Pairs)-stocks-dies)*min(v.Stock, v.Die)
}

// visitsOf counts what the families must be printed on.
func visitsOf(all []*family, r *night.Rules) visits {
	together := joined[string]{}
	v := visits{Stock: math.MaxInt64, Die: math.MaxInt64, StockMore: math.MaxInt64, DieMore: math.MaxInt64}
	for _, press := range presses(r) {
		c := changesOf(press, r)
		v.Stock, v.Die = min(v.Stock, c.stock), min(v.Die, c.die)
		v.StockMore, v.DieMore = min(v.StockMore, c.stock-c.enter()), min(v.DieMore, c.die-c.enter())
	}
	inks := map[string]bool{}
	for _, f := range all {
		if v.Entered = v.Entered || f.entered; f.entered {
			for _, ink := range f.mixed() {
				inks[ink] = true
			}
		}
		for _, w := range f.beds {
			together.join(w.best.forme().Die, f.beds[0].best.forme().Die)
		}
	}
	for _, press := range presses(r) {
		c := changesOf(press, r)
		v.Free += c.enter() + (c.ink*int64(len(inks))+1)/2
	}
	if r.House.Dies == nil {
		v.Die = 0
	}
	stocks, dies, pairs := map[string]bool{}, map[string]bool{}, map[[2]string]bool{}
	for _, f := range all {
		stock, die := f.orders[0].Stock, together.root(f.beds[0].best.forme().Die)
		stocks[stock], dies[die], pairs[[2]string{stock, die}] = true, true, true
	}
	v.Stocks, v.Dies, v.Pairs = len(stocks), len(dies), len(pairs)
	return v
}

// enterAll says what it costs each family to enter a die. Where another family
// prints the same material with it, nothing need change.
func enterAll(all []*family, r *night.Rules) {
	if r.House.Dies == nil {
		return
	}
	times := map[[2]string]int{}
	for _, f := range all {
		for die := range f.dies() {
			times[[2]string{f.orders[0].Stock, die}]++
		}
	}
	for _, f := range all {
		f.enter, f.entered = math.MaxInt64, true
		for _, press := range presses(r) {
			f.enter = min(f.enter, changesOf(press, r).die)
		}
		for die := range f.dies() {
			if times[[2]string{f.orders[0].Stock, die}] > 1 {
				f.entered = false
			}
		}
	}
	// Few families count less by their dies than all of the night's materials and dies
	// do. Which of the two says more is known only in the end, but about so now.
	entered := visitsOf(all, r)
	count := entered.least(len(presses(r)))
	var those []*family
	for _, f := range all {
		if f.entered {
			those, count = append(those, f), count+entering{f, r}.about()
			f.entered = false
		}
	}
	apart := visitsOf(all, r)
	for _, f := range those {
		f.entered = count > apart.least(len(presses(r)))
	}
}

func (f *family) dies() map[string]bool {
	dies := map[string]bool{}
	for _, w := range f.beds {
		dies[w.best.forme().Die] = true
	}
	return dies
}
