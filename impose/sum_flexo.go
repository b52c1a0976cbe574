package impose

import (
	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/summary"
)

// sumFlexo returns nil where the job names no unit.
func sumFlexo(f *job.FlexoUnit, l *geometry.Layout) (*summary.Flexo, error) {
	if f == nil {
		return nil, nil
	}
	repeat := f.Repeat
	if repeat == 0 {
		repeat = l.Repeat
	}
	factor, err := f.Plate.Distortion(repeat)
	if err != nil {
		return nil, err
	}
	_, walk := geometry.Walk(l.Repeat, repeat)
	return &summary.Flexo{
		For: f.For, PlateMM: f.Plate.Thickness.MM(), BackingMM: f.Plate.Backing.MM(), RepeatMM: repeat.MM(), Factor: factor, WalkMM: walk.MM(),
	}, nil
}
