package night

import (
	"fmt"
	"slices"

	"quoin/impose/say"
)

// noteLastFrames says of which orders more labels are made than the customer
// takes: frames are printed whole, so that a limit may be passed by the rest of
// the last one. Where such labels are scrap, they are counted as that.
func (p *Plan) noteLastFrames(made map[*order]int64) {
	p.Notes = slices.DeleteFunc(p.Notes, func(n Note) bool { return n.Code == LastFrame })
	told := map[*order]bool{}
	for i := range p.Runs {
		for _, s := range p.Runs[i].Orders {
			o := s.order
			if told[o] || p.rules.Scrap || o.limit == 0 || made[o] <= o.limit {
				continue
			}
			told[o] = true
			p.Notes = append(p.Notes, Note{o.ID, LastFrame, fmt.Sprintf("%s labels are made, %s are the limit: the last frame is printed whole",
				say.Number(made[o]), say.Number(o.limit))})
		}
	}
}
