package nest

import (
	"fmt"
	"strings"

	"quoin/geometry"
)

// Slitting says what the layout means for the slitter, which cuts straight along
// the web: lanes can only be parted where no label of any row stands in the way.
type Slitting struct {
	// Bands are the groups of lanes, first and last, that a straight slit can
	// part from each other; lanes are numbered from the web's left edge.
	Bands [][2]int
	// Straight tells whether every lane can be slit on its own.
	Straight bool
	Text     string // a sentence for the operator
}

// slitting groups the lanes by what stands in the way across.
func slitting(l *geometry.Layout) Slitting {
	left := make([]geometry.Length, l.Across+1)
	for _, s := range l.Station {
		left[s.Lane] = s.Trim.Min.Across
	}
	s := Slitting{Straight: true}
	var overlap geometry.Length
	for lane := 1; lane <= l.Across; lane++ {
		if n := len(s.Bands); n > 0 {
			if reach := left[lane-1] + l.Label.Across - left[lane]; reach >= 0 {
				s.Bands[n-1][1] = lane
				s.Straight = false
				overlap = max(overlap, reach)
				continue
			}
		}
		s.Bands = append(s.Bands, [2]int{lane, lane})
	}
	switch {
	case s.Straight && l.Across == 1:
		s.Text = "one lane: nothing to slit between labels"
	case s.Straight:
		s.Text = fmt.Sprintf("all %d lanes can be slit straight", l.Across)
	case overlap == 0:
		s.Text = "lanes butt: a slit between them must run exactly along the cut; supply the web at full width, or leave a gap across"
	case len(s.Bands) == 1:
		s.Text = fmt.Sprintf("no straight slit passes between the labels: neighbouring lanes reach up to %s into each other; "+
			"supply the web at full width, or cut the labels out by laser", overlap)
	default:
		s.Text = fmt.Sprintf("straight slits pass only between %s; lanes inside a group reach up to %s into each other "+
			"and come off as one roll", groups(s.Bands), overlap)
	}
	return s
}

func groups(bands [][2]int) string {
	words := make([]string, len(bands))
	for i, b := range bands {
		words[i] = fmt.Sprintf("lanes %d to %d", b[0], b[1])
		if b[0] == b[1] {
			words[i] = fmt.Sprintf("lane %d", b[0])
		}
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
