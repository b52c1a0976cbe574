package plan

import (
	"slices"
	"strings"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/intake"
)

// Drop takes the runs that failed out of the plan: an error for each, or nil.
func (p *Plan) Drop(failed []error) {
	kept := p.Runs[:0:0]
	printed := map[*intake.Order][]string{} // runs that are kept
	for i, run := range p.Runs {
		if failed[i] == nil {
			kept = append(kept, run)
			for _, s := range run.Orders {
				printed[s.order] = append(printed[s.order], run.Name)
			}
		}
	}
	for i, run := range p.Runs {
		if failed[i] == nil {
			continue
		}
		var orders []*job.Order
		for _, s := range run.Orders {
			orders = append(orders, s.order.Order)
		}
		why := night.RunRefusal(failed[i], orders...)
		for _, s := range run.Orders {
			text := run.Name + ": " + why.Text
			if others := printed[s.order]; len(others) > 0 {
				text += "; only a part of the order is printed, in " + strings.Join(others, ", ")
			}
			p.Unplanned = append(p.Unplanned, night.NoteOn(s.Order, why.Code, "%s", text))
		}
	}
	p.Runs = kept
	p.Total = Total{}
	p.Bound, p.Alone = Bound{}, Alone{}
	p.share()
	p.sum()
	p.Late = slices.DeleteFunc(p.Late, func(l LateRun) bool {
		return !slices.ContainsFunc(p.Runs, func(r Run) bool { return r.Name == l.Run })
	})
	reckonAlone(p)
}
