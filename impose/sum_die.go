package impose

import (
	"quoin/geometry"
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
