package job

import (
	"slices"

	"quoin/geometry"
)

// NestTurns returns the turns that a nested layout may give its labels. Where
// neither winding nor turn is said, nobody minds how a label leads, and rows
// turned by 180 degrees are tried too, unless the job keeps them upright.
func NestTurns(j *Job) []geometry.Turn {
	turns := slices.Clone(turns(j))
	if j.NestUpright || j.Winding != nil || len(j.Turns) > 0 && !slices.Equal(j.Turns, AutoTurns()) {
		return turns
	}
	for _, t := range turns {
		if u := t.Plus(geometry.Turn180); !slices.Contains(turns, u) {
			turns = append(turns, u)
		}
	}
	return turns
}
