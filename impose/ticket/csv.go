package ticket

import (
	"cmp"
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"strings"

	"quoin/impose/say"
)

// heads are the columns of the list of lanes. Columns may be added at the end.
var heads = []string{
	"lane", "finishing_lane", "product", "artwork", "page", "labels", "full_rolls", "rest", "left_mm", "right_mm", "winding",
}

// WriteLanes writes the lanes as CSV after RFC 4180: a line of heads, then one
// for each lane, ended by carriage return and line feed, in UTF-8. Products that
// share a lane are joined by " + "; a blank lane has no product.
func (t *Ticket) WriteLanes(w io.Writer) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	if err := c.Write(heads); err != nil {
		return err
	}
	for _, l := range t.Lanes {
		var names, files, pages, windings []string
		for _, a := range l.Artworks {
			p := t.Products[a-1]
			names, files, pages = append(names, p.Name), append(files, p.File), append(pages, strconv.Itoa(p.Page))
			if w := cmp.Or(p.Winding, t.Winding); w != nil && !slices.Contains(windings, w.Text) {
				windings = append(windings, w.Text)
			}
		}
		finishing := ""
		if l.FinishingLane > 0 {
			finishing = strconv.Itoa(l.FinishingLane)
		}
		err := c.Write([]string{
			strconv.Itoa(l.Lane), finishing, strings.Join(names, " + "), strings.Join(files, " + "), strings.Join(pages, " + "),
			strconv.FormatInt(l.Labels, 10), strconv.FormatInt(l.FullRolls, 10), strconv.FormatInt(l.Rest, 10),
			say.Exact(l.LeftMM), say.Exact(l.RightMM), strings.Join(windings, " + "),
		})
		if err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}
