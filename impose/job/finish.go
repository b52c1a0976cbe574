package job

import "quoin/geometry"

// Roll is what one finished roll may be; zero values are free.
type Roll struct {
	Labels      int64
	Core        geometry.Length // outer diameter of the core, not its bore
	MaxDiameter geometry.Length
	Splices     *bool // whether a roll may be spliced; nil: the order doesn't say
}

// MaySplice tells whether finished rolls may be spliced; a job that doesn't say
// allows it.
func (r Roll) MaySplice() bool { return r.Splices == nil || *r.Splices }
