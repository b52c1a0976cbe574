package job

import "quoin/geometry"

// Roll is what one finished roll may be; zero values are free.
type Roll struct {
	Labels      int64
	Core        geometry.Length // outer diameter of the core, not its bore
	MaxDiameter geometry.Length
	Splices     *bool // whether a roll may be spliced; nil: the order doesn't say
	// NewRepeat begins each roll with a new repeat, as the planner of a night may
	// decide: what that leaves in a lane is too little for a part roll.
	NewRepeat bool
}

// MaySplice reports whether finished rolls may be spliced; a job that doesn't say
// allows it.
func (r Roll) MaySplice() bool { return r.Splices == nil || *r.Splices }

// RollSplices reports whether the rolls of an artwork may be spliced; nil: nobody says.
func RollSplices(j *Job, artwork int) *bool {
	if s := j.Artworks[artwork].Splices; s != nil {
		return s
	}
	return j.Roll.Splices
}

// RollLabels returns the labels on a finished roll of an artwork: its own, or
// else those of all; 0 when neither is said.
func RollLabels(j *Job, artwork int) int64 {
	if n := j.Artworks[artwork].LabelsPerRoll; n > 0 {
		return n
	}
	return j.Roll.Labels
}

// MostOnRoll returns the labels on the fullest finished roll of the job.
func MostOnRoll(j *Job) int64 {
	if len(j.Artworks) == 0 {
		return j.Roll.Labels
	}
	most := int64(0)
	for i := range j.Artworks {
		most = max(most, RollLabels(j, i))
	}
	return most
}
