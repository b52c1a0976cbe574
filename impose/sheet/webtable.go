package sheet

import (
	"strconv"

	"quoin/impose/say"
	"quoin/impose/sheet/typeset"
	"quoin/impose/summary"
)

// line is one line of the table below the lanes.
type line struct {
	head  string
	cells []string // by lane
	size  float64
	high  float64 // of the line, where the cells are not upright
	ends  bool    // a black line with white figures
	wraps bool    // texts on two lines
}

// lines returns the table in its order.
func (w web) lines(d *typeset.Document, width, k float64) []line {
	c := w.c
	press := line{head: "LANE AT THE PRESS", size: 32, high: 32}
	product := line{head: "Product", size: 20, high: 22}
	names := line{head: "Name", size: 12, high: 28, wraps: true}
	labels := line{head: "Labels", size: 15, high: 19}
	each := line{head: "Labels a roll", size: 13, high: 18}
	rolls := line{head: "Full rolls + rest", size: 13, high: 18}
	widths := line{head: "Label width, mm", size: 15, high: 19}
	finish := line{head: "LANE AT FINISHING", size: 26, high: 28, ends: true}
	for _, l := range c.Lanes {
		press.cells = append(press.cells, strconv.Itoa(l.Lane))
		product.cells = append(product.cells, w.letters(l))
		names.cells = append(names.cells, w.names(l))
		widths.cells = append(widths.cells, say.Digits(l.RightMM-l.LeftMM))
		labels.cells = append(labels.cells, say.Number(l.Labels))
		of, gives := w.rolls(l)
		each.cells = append(each.cells, of)
		rolls.cells = append(rolls.cells, gives)
		finish.cells = append(finish.cells, strconv.Itoa(l.FinishingLane))
	}
	list := []line{press, product}
	if names.fits(d, w.room(width, k), k) {
		list = append(list, names)
	}
	if c.Layout.LanesDiffer {
		list = append(list, widths)
	}
	list = append(list, labels)
	if len(rollKinds(c)) > 1 {
		list = append(list, each)
	}
	if len(c.Rolls) > 0 {
		list = append(list, rolls)
	}
	if len(c.Lanes) > 0 && c.Lanes[0].FinishingLane > 0 {
		list = append(list, finish)
	}
	return list
}

func (w web) letters(l summary.Lane) string {
	if len(l.Artworks) == 0 {
		return letter(l.Artwork)
	}
	text := ""
	for _, a := range l.Artworks {
		text += letter(a) + " "
	}
	return text
}

func (w web) names(l summary.Lane) string {
	if len(l.Artworks) > 0 {
		return "several, see below"
	}
	if l.Artwork < 1 || l.Artwork > len(w.c.Artworks) {
		return ""
	}
	return product(w.c.Artworks[l.Artwork-1])
}

// room returns the width of a cell that all lanes have.
func (w web) room(width, k float64) float64 {
	edges := w.edges(typeset.Box{W: width - headWidth*k, H: w.tall() * k})
	room := width
	for i := 1; i < len(edges); i++ {
		room = min(room, edges[i]-edges[i-1])
	}
	return room - 3*k
}

// fits reports whether all texts can be read in their cells.
func (x line) fits(d *typeset.Document, room, k float64) bool {
	if room < 40*k {
		return false
	}
	for _, text := range x.cells {
		if _, _, whole := d.Setting().Fit(text, bold(x.size*k), room, x.high*k, 0.7*x.size*k); !whole {
			return false
		}
	}
	return true
}

// rolls returns the labels on a roll of the lane, and its full rolls and rest.
func (w web) rolls(l summary.Lane) (each, gives string) {
	for _, r := range w.c.Rolls {
		for _, lane := range r.Lanes {
			if r.Artwork == l.Artwork && lane.Lane == l.Lane {
				return say.Number(r.LabelsPerRoll), say.Number(lane.Full) + " + " + say.Number(lane.Rest)
			}
		}
	}
	return "–", "–"
}

// upright tells how the cells of a line are set so that they are as large as
// can be: along the web's width or, in narrow lanes, along the travel.
func (w web) upright(d *typeset.Document, x line, width, k float64) (bool, float64) {
	if x.wraps {
		return false, x.high * k
	}
	cell := w.room(width, k)
	widest := 0.0
	for _, text := range x.cells {
		widest = max(widest, d.Setting().Width(text, typeset.Style{Size: 1, Bold: true}))
	}
	flat := min(x.size*k, cell/widest)
	turned := min(x.size*k, cell/0.8)
	if flat >= 0.7*turned || flat >= 9*k {
		return false, x.high * k
	}
	return true, widest*turned + 4*k
}
