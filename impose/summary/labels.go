package summary

import (
	"slices"
	"strings"

	"quoin/impose/say"
)

// Cut is the outline of the upright label as closed polygons, its box at the
// origin, across and around in mm. Their sides stray from it by at most a
// micrometre.
type Cut struct {
	RingsMM [][][2]float64 `json:"rings_mm"`
}

// Labels returns the sizes of the frame's labels in mm, each once: across and
// around, upright, the narrowest first.
func (s *Summary) Labels() [][2]float64 {
	if !s.Layout.LanesDiffer {
		return [][2]float64{s.Layout.LabelMM}
	}
	var list [][2]float64
	for _, a := range s.Artworks {
		if a.LabelMM != nil && !slices.Contains(list, *a.LabelMM) {
			list = append(list, *a.LabelMM)
		}
	}
	slices.SortFunc(list, func(a, b [2]float64) int { return slices.Compare(a[:], b[:]) })
	return list
}

// labelText names the frame's labels.
func (s *Summary) labelText() string {
	var list []string
	for _, l := range s.Labels() {
		list = append(list, say.Digits(l[0])+" x "+say.Digits(l[1]))
	}
	if len(list) > 1 {
		return "labels " + strings.Join(list, ", ") + " mm"
	}
	return "label " + list[0] + " mm"
}

// labelText names the artwork's own label.
func (a *Artwork) labelText() string {
	if a.LabelMM == nil {
		return ""
	}
	return ", " + say.Pair(a.LabelMM[0], a.LabelMM[1])
}
