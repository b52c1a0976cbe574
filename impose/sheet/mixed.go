package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"quoin/impose/summary"
)

// mixedLanes returns the lanes that carry several products, or one and blanks.
func mixedLanes(c *Content) []summary.Lane {
	var list []summary.Lane
	for _, l := range c.Lanes {
		if len(l.Artworks) > 0 {
			list = append(list, l)
		}
	}
	return list
}

// stretches returns the stations of a lane from the frame's first row to its last,
// those of one product that follow each other together.
func stretches(c *Content, lane int) [][]Station {
	var rows []Station
	for _, s := range c.Stations {
		if s.Lane == lane {
			rows = append(rows, s)
		}
	}
	slices.SortStableFunc(rows, func(a, b Station) int { return cmp.Compare(a.Row, b.Row) })
	var list [][]Station
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].Artwork == rows[0].Artwork {
			n++
		}
		list, rows = append(list, rows[:n]), rows[n:]
	}
	return list
}

// sequence says what stands in a lane.
func sequence(c *Content, lane int) string {
	var parts []string
	for _, rows := range stretches(c, lane) {
		text := fmt.Sprint(rows[0].Row)
		if n := len(rows); n > 1 {
			text += fmt.Sprintf("–%d", rows[n-1].Row)
		}
		name := letter(rows[0].Artwork)
		if rows[0].Artwork == 0 {
			name = "blank"
		}
		parts = append(parts, text+"\u00a0"+name)
	}
	return "rows " + strings.Join(parts, ", ")
}

// mixed returns the sequence of each lane that carries several products, and why
// its rolls are not counted; nil where there is none.
func mixed(c *Content) block {
	lanes := mixedLanes(c)
	if len(lanes) == 0 {
		return nil
	}
	var halves [2]facts
	for i, l := range lanes {
		h := &halves[2*i/(len(lanes)+1)]
		h.size = body
		h.list = append(h.list, fact{fmt.Sprintf("Lane %d", l.Lane), sequence(c, l.Lane)})
	}
	why := "Row 1 is the frame's first, at the top of the picture."
	if len(c.Rolls) > 0 {
		why += " No rolls (–) are counted here: the labels must be sorted by product before they are wound for the customer."
	}
	return panel{title: "LANES THAT CARRY SEVERAL PRODUCTS", body: stack{4, []block{
		columns{8, []float64{1, 1}, []block{halves[0], halves[1]}}, words{text: why, style: plain(body)},
	}}}
}
