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

// Splices says whether the rolls of an artwork may be spliced; nil: nobody says.
func (o Rolls) Splices(artwork int) *bool {
	if s := o.job.Artworks[artwork].Splices; s != nil {
		return s
	}
	return o.job.Roll.Splices
}

// Labels gives the labels on a finished roll of an artwork: its own, or
// else those of all; 0 when neither is said.
func (o Rolls) Labels(artwork int) int64 {
	if n := o.job.Artworks[artwork].LabelsPerRoll; n > 0 {
		return n
	}
	return o.job.Roll.Labels
}

// Most gives the labels on the fullest finished roll of the job.
func (o Rolls) Most() int64 {
	if len(o.job.Artworks) == 0 {
		return o.job.Roll.Labels
	}
	most := int64(0)
	for i := range o.job.Artworks {
		most = max(most, o.Labels(i))
	}
	return most
}
