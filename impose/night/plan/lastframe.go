package plan

import (
	"slices"

	"quoin/impose/night"
	"quoin/impose/say"
)

// noteLastFrames says of which orders more labels are made than the customer
// takes: frames are printed whole, so that a limit may be passed by the rest of
// the last one. Where such labels are scrap, they are counted as that.
func (p *Plan) noteLastFrames(made map[int]int64) {
	p.Notes = slices.DeleteFunc(p.Notes, func(n night.Note) bool { return n.Code == night.LastFrame })
	told := map[int]bool{}
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			o := s.order
			if told[o.Index] || p.rules.Scrap || o.Limit == 0 || made[o.Index] <= o.Limit {
				continue
			}
			told[o.Index] = true
			p.Notes = append(p.Notes, night.NoteOn(o.ID, night.LastFrame, "%s labels are made, %s are the limit: the last frame is printed whole",
				say.Number(made[o.Index]), say.Number(o.Limit)))
		}
	}
}
