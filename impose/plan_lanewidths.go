package impose

import (
	"fmt"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/job"
	"quoin/impose/say"
)

// layLanes lays out a frame whose lanes are as wide as their artworks' labels.
// Which artwork stands in which lane is settled first, since it decides where
// all lanes to its right begin.
func layLanes(in *Sources, r geometry.Request) (l laid, err error) {
	j := in.Job
	if j.Tool() != nil || j.Nest || j.Shape != "" && j.Shape != geometry.ShapeRectangle {
		return l, say.Refuse(say.NotFit, "run each size in a job of its own", "labels of different sizes go with no die, no nesting and no shape but the rectangle")
	}
	if l.lanes, err = shareLanes(j.Artworks, lanesWanted(j.Artworks)); err != nil {
		return l, err
	}
	labels := make([]geometry.LaneLabel, len(l.lanes))
	for lane, art := range l.lanes {
		if art < 0 {
			return l, say.Refuse(say.NotFit, "name lanes from 1 on without a blank one", "lane %d has no artwork, so nothing says its width", lane+1)
		}
		label := job.LabelOf(j, art)
		labels[lane] = geometry.LaneLabel{Size: label, Area: job.LabelArea(j, label)}
	}
	if l.layout, err = geometry.PlanLanes(r, labels); err != nil {
		return l, err
	}
	l.cuts = make([]outline.Outline, len(labels))
	for lane, label := range labels {
		if l.cuts[lane], _, err = LabelOutline(j, label.Size); err != nil {
			return l, err
		}
	}
	l.places = wholeLanes(l.lanes, l.layout)
	return l, nil
}

// knives says where the slitter cuts, where lanes are of different widths: they
// are set up one by one.
func knives(l *geometry.Layout) say.Notes {
	if l.Widths == nil {
		return nil
	}
	var middles []string // of the gaps between lanes, in mm
	lanes := l.Station[:l.Across]
	for i := 1; i < len(lanes); i++ {
		middles = append(middles, say.Digits(((lanes[i-1].Trim.Max.Across + lanes[i].Trim.Min.Across) / 2).MM()))
	}
	if len(middles) == 0 {
		return nil
	}
	return say.Notes{{Code: codeLaneWidths, Text: fmt.Sprintf(
		"the lanes differ in width: set the slitter's knives at %s mm from the left edge of the printed face, each in the middle of its gap",
		strings.Join(middles, ", "))}}
}
