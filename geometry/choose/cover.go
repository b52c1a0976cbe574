package choose

import (
	"context"
	"fmt"
	"math"
	"slices"

	"quoin/geometry/gang"
)

// mostClasses bounds the rows of the covering LP.
const mostClasses = 150

// classes puts orders that ask nearly the same of every bed together.
type classes struct {
	of     []int // class of each order
	copies []int64
	offers [][]gang.Offer // by bed and class: the least that one of them asks
	inks   []int          // by class
}

// classify rounds demands down to powers of a ratio that leaves few classes.
func (p *Problem) classify(beds []int) *classes {
	for ratio := 1.0; ; ratio += (ratio - 1) + 0.0025 {
		if c := p.classed(beds, ratio); len(c.copies) <= mostClasses || ratio > 4 {
			return c
		}
	}
}

func (p *Problem) classed(beds []int, ratio float64) *classes {
	c := &classes{of: make([]int, p.Orders), offers: make([][]gang.Offer, len(beds))}
	at := map[string]int{}
	for i := range p.Orders {
		key, inks, first := "", 0, true
		for k, b := range beds {
			o := p.Beds[b].Offers[i]
			if o.Demand == 0 {
				continue
			}
			inks = o.Inks
			if ratio == 1 {
				key += fmt.Sprintf("%d %d %d %d,", k, o.Demand, o.Width, o.Inks)
				continue
			}
			if first {
				key = fmt.Sprint(int(math.Log(float64(o.Demand))/math.Log(ratio)), " ")
				first = false
			}
			key += fmt.Sprintf("%d %d %d,", k, o.Width, o.Inks)
		}
		n, known := at[key]
		if !known {
			n = len(c.copies)
			at[key] = n
			c.copies, c.inks = append(c.copies, 0), append(c.inks, inks)
			for k := range beds {
				c.offers[k] = append(c.offers[k], gang.Offer{})
			}
		}
		c.of[i] = n
		c.copies[n]++
		for k, b := range beds {
			o := p.Beds[b].Offers[i].Offer
			if known := c.offers[k][n].Demand; known == 0 || o.Demand < known {
				c.offers[k][n] = o
			}
		}
	}
	return c
}

// covered is a bound, and how the relaxation shares the orders out.
type covered struct {
	gang.Covered
	level []level
	*classes
}

// level is a bed at the speed of so many inks: runs that hold an order of so
// many, and of no more.
type level struct{ bed, inks int }

// cover bounds the cost of all choices. A run of several ink sets costs at least
// what it would with the inks of the order that has most. Known cells are where the
// relaxation begins.
func (p *Problem) cover(ctx context.Context, beds []int, known []Cell, l gang.Limits) covered {
	out := covered{classes: p.classify(beds)}
	var list []gang.Bed
	for k, b := range beds {
		bed := &p.Beds[b]
		seen := map[Rate]int{}
		for inks := range bed.Ladder {
			used := false
			rate := bed.rate(inks)
			x := gang.Bed{Capacity: bed.Capacity, Least: bed.Least, LengthCost: rate.Length, RunCost: rate.Run}
			for n := range out.copies {
				o := out.offers[k][n]
				if out.inks[n] > inks {
					o.Demand = 0
				}
				used = used || out.inks[n] == inks && o.Demand > 0
				x.Offers = append(x.Offers, o)
			}
			if !used {
				continue
			}
			if at, known := seen[rate]; known { // more orders at the same cost
				list[at], out.level[at] = x, level{b, inks}
				continue
			}
			seen[rate] = len(list)
			list, out.level = append(list, x), append(out.level, level{b, inks})
		}
	}
	out.Covered = gang.Cover(ctx, list, out.copies, p.runs(ctx, &out, known, l), l.Steps)
	return out
}

// runs returns those of cells after a short search, as the relaxation knows them.
func (p *Problem) runs(ctx context.Context, c *covered, cells []Cell, l gang.Limits) []gang.BedRun {
	var out []gang.BedRun
	for _, cell := range cells {
		inks := 0
		for _, i := range cell.Orders {
			inks = max(inks, p.Beds[cell.Bed].Offers[i].Inks)
		}
		at := slices.IndexFunc(c.level, func(v level) bool { return v.bed == cell.Bed && v.inks >= inks })
		g, ok := p.gang(cell.Bed, cell.Orders)
		if at < 0 || !ok {
			continue
		}
		plan, _, err := gang.Solve(ctx, g, gang.Limits{Steps: lookSteps, Seed: l.Seed})
		if err != nil {
			continue
		}
		for _, r := range plan.Runs {
			run := gang.BedRun{Bed: at, Length: r.Length, Made: make([]float64, len(c.copies))}
			for _, s := range r.Shares {
				d := g.Orders[s.Order].Demand
				run.Made[c.of[cell.Orders[s.Order]]] += float64(min(s.Lanes*r.Length, d)) / float64(d)
			}
			out = append(out, run)
		}
	}
	return out
}

// cells shares the orders out as the relaxation does: each to the level that
// prints most of its class, copies in turn.
func (c *covered) cells(orders int) []Cell {
	at := map[level]int{}
	var out []Cell
	given := make([][]float64, len(c.level))
	for k := range given {
		given[k] = make([]float64, len(c.copies))
	}
	for i := range orders {
		n, best := c.of[i], 0
		for k := range c.level {
			if c.Part[k][n]-given[k][n] > c.Part[best][n]-given[best][n]+1e-9 {
				best = k
			}
		}
		given[best][n]++
		key := c.level[best]
		if _, known := at[key]; !known {
			at[key] = len(out)
			out = append(out, Cell{Bed: key.bed})
		}
		cell := &out[at[key]]
		cell.Orders = append(cell.Orders, i)
	}
	return out
}
