package plan

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"quoin/impose/job"
)

// shelfLot is one lot of the web that a run is printed on.
type shelfLot struct {
	*job.Lot
	left  *float64 // metres that no run has taken
	price float64  // of a square metre
}

// spelled is a material's name whatever its letters and spaces.
func spelled(material string) string {
	return strings.ToLower(strings.Join(strings.Fields(material), " "))
}

// usualPrice is what a square metre of a material costs where no lot says otherwise.
func usualPrice(p *job.Prices, material string) float64 {
	for _, m := range p.Materials {
		if spelled(m.Material) == spelled(material) {
			return m.WebPerM2
		}
	}
	return p.WebPerM2
}

// shelf lists the lots that a run's web comes from in the order in which they are used
// up: rests of rolls before full ones, and of both the cheapest first. Lots of no
// material are for all that have none of their own.
func (c *nightCheck) shelf(run *seenRun) (lots []shelfLot) {
	p, material := c.presses[run.Press], spelled(c.Groups[run.Group-1].Material)
	if !slices.ContainsFunc(p.Lots, func(l job.Lot) bool { return l.Material != "" && spelled(l.Material) == material }) {
		material = ""
	}
	for i := range p.Lots {
		l := &p.Lots[i]
		if spelled(l.Material) != material || l.Width.MM() != run.WebMM {
			continue
		}
		if c.left[l] == nil {
			c.left[l] = new(l.Length.Metres())
			if l.Length == 0 {
				*c.left[l] = math.Inf(1)
			}
		}
		lots = append(lots, shelfLot{l, c.left[l], cmp.Or(l.PerM2, usualPrice(p.Prices, c.Groups[run.Group-1].Material))})
	}
	slices.SortStableFunc(lots, func(a, b shelfLot) int {
		if a.Remainder != b.Remainder {
			return map[bool]int{true: -1, false: 1}[a.Remainder]
		}
		return cmp.Compare(a.price, b.price)
	})
	return lots
}

// webPrice is what a square metre of the run's web counts: that of its dearest full
// rolls or, where there are but rests, of the dearest of those.
func (c *nightCheck) webPrice(run *seenRun) float64 {
	lots := c.shelf(run)
	if len(lots) == 0 {
		return usualPrice(c.presses[run.Press].Prices, c.Groups[run.Group-1].Material)
	}
	return lots[len(lots)-1].price
}

// saves takes a run's web from the shelf, and returns what it costs less than it counts.
func (c *nightCheck) saves(run *seenRun) (saved float64) {
	open, price, lots := c.gross(run), c.webPrice(run), c.shelf(run)
	for _, l := range lots {
		use := min(open, *l.left)
		saved += use * run.WebMM / 1000 * max(0, price-l.price)
		open, *l.left = open-use, *l.left-use
	}
	if len(lots) > 0 && open > 0.001 {
		c.fault("%s: %g m of its web are not in stock", run.Name, open)
	}
	return saved
}
