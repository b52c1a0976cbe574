package plan

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry/choose"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// What it costs at least that a family is printed between others. A press stands set
// up with one material and die at a time: a visit. A family whose material no other
// prints with its dies begins a visit on each tool that it uses, and another material or
// die is set up for it. In a visit that prints runs with an ink and runs without, the
// ink begins or ends once at least, and of all beginnings and ends of an ink on a
// press, which take turns, every second is a beginning, which costs a change. So half a
// change counts for each ink that only some runs of the family have. A family that
// begins a second visit instead pays more than that, so no more than that counts.

// changes is what changes between runs cost on a press, in grains.
type changes struct{ stock, die, ink int64 }

// enter is what it costs at least to begin a visit.
func (c changes) enter() int64 { return min(c.stock, c.die) }

// presses lists all of the night, the house's first.
func presses(r *night.Rules) []*job.Press { return r.AllPresses(r.House) }

// pricesOn are a press's own, or else the house's.
func pricesOn(press *job.Press, r *night.Rules) *job.Prices {
	return cmp.Or(press.Prices, r.House.Press.Prices)
}

func changesOf(press *job.Press, r *night.Rules) changes {
	prices := pricesOn(press, r)
	grain := unit(prices.Currency) * grains / 60
	cost := func(minutes, perHour float64) int64 { return int64(minutes * perHour * grain) }
	c := press.Changes
	return changes{cost(c.Material, prices.PressPerHour), cost(c.Die, prices.FinishPerHour), cost(c.Ink, prices.PressPerHour)}
}

// tool is what a visit is of, beside the material.
type tool struct {
	press *job.Press
	die   string
}

func toolOf(g *group) tool { return tool{g.press, g.forme().Die} }

// entering knows what it costs to enter a family's tools.
type entering struct {
	family *family
	rules  *night.Rules
}

// entries lists it by tool, for each set of inks that all runs may have in common, with
// the mixes that have them.
func (e entering) entries(tools map[tool]int, mixes [][]string) (out []choose.Entry) {
	cores := [][]string{nil}
	if len(mixes) > 0 {
		cores = nil
		add := func(core []string) {
			if !slices.ContainsFunc(cores, func(c []string) bool { return slices.Equal(c, core) }) {
				cores = append(cores, core)
			}
		}
		for _, m := range mixes {
			add(distinct(m))
		}
		for i := 0; i < len(cores); i++ {
			for k := range i {
				add(inCommon(cores[i], cores[k]))
			}
		}
	}
	for _, w := range e.family.beds {
		t := toolOf(w.best)
		n := tools[t]
		if slices.ContainsFunc(out, func(x choose.Entry) bool { return x.Tool == n }) {
			continue
		}
		for _, core := range cores {
			x := choose.Entry{Tool: n, Cost: e.on(t)}
			if len(mixes) > 0 {
				x.Cost += e.between(t, core)
			}
			for _, m := range mixes {
				x.Mixes = append(x.Mixes, len(inCommon(distinct(m), core)) == len(core))
			}
			out = append(out, x)
		}
	}
	return out
}

// on is what it costs at least to begin a visit of a tool.
func (e entering) on(t tool) int64 {
	if t.press == nil || t.die == "" {
		return 0
	}
	return changesOf(t.press, e.rules).enter()
}

// between is what the inks cost in a visit whose runs have some in common.
func (e entering) between(t tool, core []string) int64 {
	if t.press == nil {
		return 0
	}
	n := len(distinct(e.family.allInks())) - len(core)
	return min(changesOf(t.press, e.rules).ink*int64(n)/2, e.on(t))
}

// about is what entering the family's tools will count in the bound, about: where its
// inks differ, half of what they cost in one visit.
func (e entering) about() int64 {
	least := int64(math.MaxInt64)
	for _, w := range e.family.beds {
		t := toolOf(w.best)
		common := distinct(e.family.orders[0].PrintInks)
		for _, o := range e.family.orders {
			common = inCommon(common, distinct(o.PrintInks))
		}
		least = min(least, e.on(t)+e.between(t, common)/2)
	}
	return least
}

// of is what a family's plan counts for its tools.
func (e entering) of(groups []*group) (sum int64) {
	if !e.family.entered {
		return 0
	}
	var tools []tool
	var core []string
	for i, g := range groups {
		if t := toolOf(g); !slices.Contains(tools, t) {
			tools = append(tools, t)
			sum += e.on(t)
		}
		if inks := distinct(g.inks); i == 0 {
			core = inks
		} else {
			core = inCommon(core, inks)
		}
	}
	if mixes, _ := e.family.mixes(e.rules); len(tools) == 1 && len(mixes) > 0 {
		sum += e.between(tools[0], core)
	}
	return sum
}

func (f *family) allInks() (all []string) {
	for _, o := range f.orders {
		all = union(all, o.PrintInks)
	}
	return all
}

// mixed returns the inks that not all of the family's orders print.
func (f *family) mixed() []string {
	var out []string
	for _, ink := range distinct(f.allInks()) {
		if slices.ContainsFunc(f.orders, func(o *intake.Order) bool { return !slices.Contains(o.PrintInks, ink) }) {
			out = append(out, ink)
		}
	}
	return out
}

func distinct(inks []string) []string { return slices.Compact(slices.Clone(inks)) }

// inCommon returns what two sorted lists have in common.
func inCommon(a, b []string) []string {
	var out []string
	for _, x := range a {
		if _, both := slices.BinarySearch(b, x); both {
			out = append(out, x)
		}
	}
	return out
}
