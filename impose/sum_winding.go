package impose

import (
	"strings"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/summary"
)

// sumWinding returns nil where the job doesn't say the winding.
func sumWinding(j *job.Job, l *geometry.Layout) *summary.Winding {
	w, route := j.Winding, j.Route()
	if w == nil {
		return nil
	}
	return &summary.Winding{
		Face:    strings.TrimPrefix(w.Face.String(), "face "),
		Leading: strings.TrimSuffix(w.Leading.String(), " leads"),
		Text:    w.String(), Words: w.Words(), Windings: route.Windings,
		TurnDeg: l.Turn.Degrees(), LastPrintedFirst: route.LastPrintedFirst(),
	}
}

// finishingLane returns the lane's number at the finishing line, 0 where nobody
// says how often the web is wound up.
func finishingLane(j *job.Job, l *geometry.Layout, lane int) int {
	route := j.Route()
	if route.Check() != nil {
		return 0
	}
	return route.FinishingLane(lane, l.Across)
}
