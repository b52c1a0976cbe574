package impose

import (
	"fmt"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
)

// planLanes lays out a frame whose lanes are as wide as their artworks' labels.
// Which artwork stands in which lane is settled first, since it decides where
// all lanes to its right begin.
func (im *Imposition) planLanes(r geometry.Request) (err error) {
	if j := im.Job; j.Tool() != nil || j.Nest || j.Shape != "" && j.Shape != geometry.ShapeRectangle {
		return &LaneError{"labels of different sizes go with no die, no nesting and no shape but the rectangle", "run each size in a job of its own"}
	}
	if im.Lanes, err = shareLanes(im.Job.Artworks, lanesWanted(im.Job.Artworks)); err != nil {
		return err
	}
	lanes := make([]geometry.LaneLabel, len(im.Lanes))
	for lane, art := range im.Lanes {
		if art < 0 {
			return &LaneError{fmt.Sprintf("lane %d has no artwork, so nothing says its width", lane+1), "name lanes from 1 on without a blank one"}
		}
		label := im.Job.LabelOf(art)
		lanes[lane] = geometry.LaneLabel{Size: label, Area: im.Job.LabelArea(label)}
	}
	if im.Layout, err = geometry.PlanLanes(r, lanes); err != nil {
		return err
	}
	im.cuts = make([]outline.Outline, len(lanes))
	for lane, l := range lanes {
		if im.cuts[lane], err = im.labelOutline(l.Size); err != nil {
			return err
		}
	}
	im.Places = make([]int, len(im.Layout.Station))
	for i, s := range im.Layout.Station {
		im.Places[i] = im.Lanes[s.Lane-1]
	}
	im.tellKnives()
	return im.settle()
}

// tellKnives says where the slitter cuts: unequal lanes are set up one by one. It
// comes before all other warnings, since no run can be slit without it.
func (im *Imposition) tellKnives() {
	knives := im.knives()
	if len(knives) == 0 {
		return
	}
	im.warnings = slices.Insert(im.warnings, 0, Warning{"lane-widths", fmt.Sprintf(
		"the lanes differ in width: set the slitter's knives at %s mm from the left edge of the printed face, each in the middle of its gap",
		strings.Join(knives, ", "))})
}

// knives gives the middles of the gaps between lanes, in mm.
func (im *Imposition) knives() []string {
	var list []string
	lanes := im.Layout.Station[:im.Layout.Across]
	for i := 1; i < len(lanes); i++ {
		list = append(list, ((lanes[i-1].Trim.Max.Across + lanes[i].Trim.Min.Across) / 2).Digits())
	}
	return list
}

// Labels gives the sizes of the frame's labels in mm, each once: across and
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
		list = append(list, digits(l[0])+" x "+digits(l[1]))
	}
	if len(list) > 1 {
		return "labels " + strings.Join(list, ", ") + " mm"
	}
	return "label " + list[0] + " mm"
}

// labelText names the artwork's own label.
func (a *ArtworkPart) labelText() string {
	if a.LabelMM == nil {
		return ""
	}
	return fmt.Sprintf(", %s x %s mm", digits(a.LabelMM[0]), digits(a.LabelMM[1]))
}
