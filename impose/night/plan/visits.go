package plan

import (
	"math"

	"quoin/impose/job"
	"quoin/impose/night"
)

// visits counts what must be set up in the night, whatever is chosen, and what a
// change to it costs at least, in grains. A press begins with one of each.
type visits struct {
	Stocks, Dies, Pairs int // Dies are sets of dies that no other label takes; pairs are of both
	Stock, Die          int64
	Entered             int64 // the greatest cost of a die that families count
}

// least is what the changes between runs cost at least, beside what families count
// for their dies. Each change to a pair is one to another material or die; of
// those that families count, as many as there are presses may be none.
func (v *visits) least(presses int) int64 {
	beyond := func(n int) int64 { return int64(max(0, n-presses)) }
	stocks, dies := beyond(v.Stocks), beyond(v.Dies)
	if v.Entered > 0 {
		return stocks*max(0, v.Stock-v.Entered) + dies*max(0, v.Die-v.Entered) - int64(presses)*v.Entered
	}
	return stocks*v.Stock + dies*v.Die + max(0, beyond(v.Pairs)-stocks-dies)*min(v.Stock, v.Die)
}

// change is the least that something between two runs costs on any press.
func change(r *night.Rules, minutes func(*job.Changes) float64, perHour func(*job.Prices) float64) int64 {
	least := int64(math.MaxInt64)
	for _, press := range append([]*job.Press{r.House.Press}, r.Presses...) {
		prices := press.Prices
		if prices == nil {
			prices = r.House.Press.Prices
		}
		least = min(least, int64(minutes(&press.Changes)*perHour(prices)/60*unit(prices.Currency)*grains))
	}
	return least
}

func pressHour(p *job.Prices) float64 { return p.PressPerHour }

func stockChange(r *night.Rules) int64 {
	return change(r, func(c *job.Changes) float64 { return c.Material }, pressHour)
}

func dieChange(r *night.Rules) int64 {
	return change(r, func(c *job.Changes) float64 { return c.Die }, func(p *job.Prices) float64 { return p.FinishPerHour })
}

// visitsOf counts what the families must be printed on.
func visitsOf(all []*family, r *night.Rules) visits {
	parent := map[string]string{}
	var root func(string) string
	root = func(die string) string {
		if p, known := parent[die]; known && p != die {
			return root(p)
		}
		parent[die] = die
		return die
	}
	v := visits{Stock: stockChange(r), Die: dieChange(r)}
	for _, f := range all {
		v.Entered = max(v.Entered, f.least)
		for _, w := range f.beds {
			parent[root(w.best.forme().Die)] = root(f.beds[0].best.forme().Die)
		}
	}
	if r.House.Dies == nil {
		v.Die = 0
	}
	stocks, dies, pairs := map[string]bool{}, map[string]bool{}, map[[2]string]bool{}
	for _, f := range all {
		stock, die := f.orders[0].Stock, root(f.beds[0].best.forme().Die)
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
	least := min(stockChange(r), dieChange(r))
	for _, f := range all {
		f.least, f.enter = least, dieChange(r)
		for die := range f.dies() {
			if times[[2]string{f.orders[0].Stock, die}] > 1 {
				f.least = 0
			}
		}
	}
}

func (f *family) dies() map[string]bool {
	dies := map[string]bool{}
	for _, w := range f.beds {
		dies[w.best.forme().Die] = true
	}
	return dies
}
