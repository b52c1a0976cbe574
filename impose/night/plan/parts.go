package plan

import (
	"fmt"
	"slices"

	"quoin/impose/say"
)

// parts says of each split order which part a run holds, and where the rest is.
// It is said once, as planned: sheets that are written keep it, so a run that
// fails later must not change it.
func (p *Plan) parts() {
	where := map[string][]string{}
	for _, run := range slices.Concat(p.Printed, p.Runs) {
		for _, s := range run.Orders {
			where[s.Order] = append(where[s.Order], run.Name)
		}
	}
	for i := range p.Runs {
		run := &p.Runs[i]
		for k := range run.Orders {
			s := &run.Orders[k]
			all := where[s.Order]
			if len(all) < 2 {
				continue
			}
			at := slices.Index(all, run.Name)
			s.Part, s.Parts = at+1, len(all)
			s.OtherRuns = slices.Delete(slices.Clone(all), at, at+1)
		}
	}
}

// Rest says which part of its order a share is; nothing where it is all.
func (s Share) Rest() string {
	if s.Parts < 2 {
		return ""
	}
	return fmt.Sprintf("part %d of %d, the rest in %s", s.Part, s.Parts, say.List(s.OtherRuns))
}

// Remarks says what the pressroom should know of the order behind a share: how
// much of it this is, how urgent it is, and why it runs alone.
func (s Share) Remarks() []string {
	var list []string
	if rest := s.Rest(); rest != "" {
		list = append(list, rest, say.Count(s.OrderQuantity, "label")+" ordered in all")
	}
	if s.Priority != 0 {
		list = append(list, fmt.Sprintf("priority %d", s.Priority))
	}
	if len(s.With) > 0 {
		list = append(list, "in one run with "+say.List(s.With)+", as was asked for")
	}
	if s.order != nil && s.order.Order.Alone {
		list = append(list, "runs alone, as the customer wishes")
	}
	return list
}
