package impose

import (
	"cmp"
	"strings"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/summary"
)

// sumDie returns nil where the job names no die.
func sumDie(d *geometry.Die, l *geometry.Layout) *summary.Die {
	if d == nil {
		return nil
	}
	p := &summary.Die{
		Number: d.Number, Station: string(d.Station), RepeatMM: d.Advance().MM(),
		Place: d.Place, Condition: string(d.Condition),
	}
	if d.Cylinder.Teeth > 0 {
		p.Cylinder = d.Cylinder.String()
	}
	if d.Rows > 0 {
		p.TurnsPerFrame = l.Around / d.Rows
	}
	if d.Station == geometry.FullRotary {
		_, walk := geometry.Walk(l.Repeat, d.Advance())
		p.WalkMM = walk.MM()
	}
	return p
}

// sumFlexo returns nil where the job names no unit.
func sumFlexo(f *job.FlexoUnit, l *geometry.Layout) (*summary.Flexo, error) {
	if f == nil {
		return nil, nil
	}
	repeat := cmp.Or(f.Repeat, l.Repeat)
	factor, err := f.Plate.Distortion(repeat)
	if err != nil {
		return nil, err
	}
	_, walk := geometry.Walk(l.Repeat, repeat)
	return &summary.Flexo{
		For: f.For, PlateMM: f.Plate.Thickness.MM(), BackingMM: f.Plate.Backing.MM(), RepeatMM: repeat.MM(), Factor: factor, WalkMM: walk.MM(),
	}, nil
}

// sumWinding returns nil where the job doesn't say the winding, or artworks differ
// in it.
func sumWinding(j *job.Job, l *geometry.Layout) *summary.Winding {
	if j.WindingsDiffer() {
		return nil
	}
	return sumWindingOf(j, 0, l.Turn)
}

// sumWindingOf says how the rolls of an artwork pay out whose labels are turned so;
// nil where nobody says it.
func sumWindingOf(j *job.Job, artwork int, turn geometry.Turn) *summary.Winding {
	w, route := j.Winding, j.Route()
	if artwork < len(j.Artworks) {
		w = j.WindingOf(artwork)
	}
	if w == nil {
		return nil
	}
	first := "printed_last"
	if route.LastPrintedFirst() {
		first = "printed_first"
	}
	return &summary.Winding{
		Face:    strings.TrimPrefix(w.Face.String(), "face "),
		Leading: strings.TrimSuffix(w.Leading.String(), " leads"),
		Text:    w.String(), Words: w.Words(), Windings: route.Windings,
		TurnDeg: turn.Degrees(), LastPrintedFirst: route.LastPrintedFirst(), FirstRoll: first,
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
