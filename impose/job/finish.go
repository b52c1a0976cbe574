package job

import "quoin/geometry"

// Winding says how the finished roll pays out. A bare number is no winding:
// published charts contradict each other on all eight.
type Winding struct {
	Face     Face
	Leading  Leading
	Windings int // how often the printed web is wound up before the customer has it; 0: as the press's route
}

// Face tells which side of the roll the print is on.
type Face string

// The faces.
const (
	FaceOut Face = "out"
	FaceIn  Face = "in"
)

// Leading is the edge of the upright label that comes off the roll first.
type Leading string

// The leading edges.
const (
	TopLeads    Leading = "top"
	BottomLeads Leading = "bottom"
	LeftLeads   Leading = "left"
	RightLeads  Leading = "right"
)

// Roll is what one finished roll may be; zero values are free.
type Roll struct {
	Labels      int64
	Core        geometry.Length // outer diameter of the core, not its bore
	MaxDiameter geometry.Length
	Splices     *bool // whether a roll may be spliced; nil: the order doesn't say
}
