package night

import (
	"fmt"
	"slices"
	"strings"

	"quoin/impose"
	"quoin/impose/say"
	"quoin/impose/sheet"
	"quoin/impose/summary"
)

// parts says of each split order which part a run holds, and where the rest is.
// It is said once, as planned: sheets that are written keep it, so a run that
// fails later must not change it.
func (p *Plan) parts() {
	where := map[*order][]string{}
	for _, run := range p.Runs {
		for _, s := range run.Orders {
			where[s.order] = append(where[s.order], run.Name)
		}
	}
	for i := range p.Runs {
		run := &p.Runs[i]
		for k := range run.Orders {
			s := &run.Orders[k]
			all := where[s.order]
			if len(all) < 2 {
				continue
			}
			at := slices.Index(all, run.Name)
			s.Part, s.Parts = at+1, len(all)
			s.OtherRuns = slices.Delete(slices.Clone(all), at, at+1)
		}
	}
}

// rest says which part of its order a share is; nothing where it is all.
func (s Share) rest() string {
	if s.Parts < 2 {
		return ""
	}
	return fmt.Sprintf("part %d of %d, the rest in %s", s.Part, s.Parts, say.List(s.OtherRuns))
}

// Remark says what the pressroom should know of the order behind a share: how
// much of it this is, and when it is due.
func (s Share) Remark() string {
	var list []string
	if rest := s.rest(); rest != "" {
		list = append(list, fmt.Sprintf("%s; %s ordered in all", rest, say.Count(s.OrderQuantity, "label")))
	}
	if s.Priority != 0 {
		list = append(list, fmt.Sprintf("priority %d", s.Priority))
	}
	if s.order != nil && s.order.Order.Alone {
		list = append(list, "runs alone, as the customer wishes")
	}
	return strings.Join(list, "; ")
}

// content gives what a run's sheet says: that of its imposing, and what is
// known of its orders.
func (p *Plan) content(run *Run, im *impose.Imposition, s *summary.Summary) *sheet.Content {
	c := sheet.From(im, s)
	for _, share := range run.Orders {
		remark := share.Remark()
		if share.Due != "" {
			remark = strings.TrimSuffix("due "+share.Due+"; "+remark, "; ")
		}
		c.Remarks = append(c.Remarks, remark)
	}
	return c
}
