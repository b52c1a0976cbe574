package choose

import (
	"slices"

	"quoin/geometry/gang"
)

// runs states the runs of cells; nil where some have none here.
func (t *task) runs(p *Problem, cells []Cell) []cast {
	var out []cast
	for _, c := range cells {
		at := slices.IndexFunc(t.grades, func(g grade) bool {
			return g.bed == c.Bed && !slices.ContainsFunc(c.Orders, func(i int) bool { return !p.Mixes[g.mix].Kinds[p.Kinds[i]] })
		})
		for k, g := range t.grades { // the mix of the fewest inks
			if at >= 0 && g.bed == c.Bed && p.Mixes[g.mix].Inks < p.Mixes[t.grades[at].mix].Inks &&
				!slices.ContainsFunc(c.Orders, func(i int) bool { return !p.Mixes[g.mix].Kinds[p.Kinds[i]] }) {
				at = k
			}
		}
		if at < 0 || len(c.Runs) == 0 {
			return nil
		}
		for _, r := range c.Runs {
			x := cast{grade: at, r: r.Length}
			for _, s := range r.Shares {
				i := c.Orders[s.Order]
				if t.need[at][i] == 0 {
					return nil
				}
				x.parts = append(x.parts, part{int32(i), int32(s.Lanes)})
			}
			out = append(out, x)
		}
	}
	return t.tidy(out)
}

// regraded states runs of a task of the same orders in this one; those of grades
// that it hasn't are left out.
func (t *task) regraded(list []cast, from *task) []cast {
	var out []cast
	for _, c := range list {
		of := &from.grades[c.grade]
		if at := slices.IndexFunc(t.grades, func(g grade) bool { return g.bed == of.bed && g.mix == of.mix }); at >= 0 {
			out = append(out, cast{at, c.r, c.parts})
		}
	}
	return out
}

// cells puts runs of one grade together.
func (t *task) cells(list []cast) []Cell {
	at := map[int]int{}
	var out []Cell
	for _, c := range list {
		k, known := at[c.grade]
		if !known {
			k = len(out)
			at[c.grade] = k
			out = append(out, Cell{Bed: t.grades[c.grade].bed})
		}
		run := gang.Run{Length: c.r}
		for _, q := range c.parts {
			run.Shares = append(run.Shares, gang.Share{Order: t.id[q.at], Lanes: int64(q.lanes)})
			if !slices.Contains(out[k].Orders, t.id[q.at]) {
				out[k].Orders = append(out[k].Orders, t.id[q.at])
			}
		}
		out[k].Runs = append(out[k].Runs, run)
	}
	for k := range out {
		x := &out[k]
		slices.Sort(x.Orders)
		for _, run := range x.Runs {
			for j := range run.Shares {
				run.Shares[j].Order, _ = slices.BinarySearch(x.Orders, run.Shares[j].Order)
			}
		}
	}
	return out
}
