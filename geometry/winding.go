package geometry

import (
	"fmt"
	"strings"
)

// Face says which side of the finished roll shows the print.
type Face uint8

// The faces. The zero Face says nothing.
const (
	FaceOut Face = iota + 1
	FaceIn
)

// Leading says which edge of the upright label comes off the finished roll
// first.
type Leading uint8

// The leading edges. The zero Leading says nothing.
const (
	TopLeads Leading = iota + 1
	BottomLeads
	LeftLeads
	RightLeads
)

// Winding is how the finished roll pays out. It is never a bare number: the
// charts that suppliers publish contradict each other on all eight (see Chart).
type Winding struct {
	Face    Face
	Leading Leading
}

// Route is the way of the printed web to the customer.
type Route struct {
	// Windings counts how often the web is wound up: 1 when the press winds the
	// finished rolls itself, 2 when it winds a roll that a finishing line
	// unwinds again.
	Windings int
	// SecondSurface is print on the back of clear film, read through it: the
	// artwork is mirrored left to right before it is turned.
	SecondSurface bool
}

// Check refuses a route on which nothing is wound up.
func (r Route) Check() error {
	if r.Windings < 1 {
		return &hintError{fmt.Sprintf("a route with %d windings gives no roll", r.Windings),
			"count how often the web is wound up: 1 inline, 2 with a separate finishing line"}
	}
	return nil
}

// reversed reports whether the end that leads on the press's own rewind was
// turned about by the windings behind it.
func (r Route) reversed() bool { return r.Windings%2 == 0 }

// Turn returns the turn of the label on the press that makes the winding.
//
// The end that comes off a roll is the end that was wound last, so after an odd
// number of windings the edge against the travel leads, after an even number
// the edge towards it. The face never matters: the last rewind winds over or
// under. On the second surface left and right change places, because the
// mirrored label shows its left on the right. Plain geometry.
func (w Winding) Turn(r Route) (Turn, error) {
	if err := w.Check(); err != nil {
		return 0, err
	}
	if err := r.Check(); err != nil {
		return 0, err
	}
	leading := w.Leading
	if r.SecondSurface {
		leading = leading.mirrored()
	}
	turn := map[Leading]Turn{BottomLeads: Turn0, LeftLeads: Turn90, TopLeads: Turn180, RightLeads: Turn270}[leading]
	if r.reversed() {
		turn = turn.Plus(Turn180)
	}
	return turn, nil
}

func (l Leading) mirrored() Leading {
	switch l {
	case LeftLeads:
		return RightLeads
	case RightLeads:
		return LeftLeads
	}
	return l
}

// FinishingLane returns the lane's number at the last machine, counted from the
// left as there seen in travel direction with the print up: of N lanes, lane k
// becomes N+1-k after an even number of windings in all. Plain geometry.
func (r Route) FinishingLane(lane, lanes int) int {
	if r.reversed() {
		return lanes + 1 - lane
	}
	return lane
}

// LastPrintedFirst reports whether the customer's first label is the one that
// the press printed last.
func (r Route) LastPrintedFirst() bool { return !r.reversed() }

// Check refuses a winding that doesn't say both face and leading edge.
func (w Winding) Check() error {
	if w.Face < FaceOut || w.Face > FaceIn || w.Leading < TopLeads || w.Leading > RightLeads {
		return &hintError{"the winding is not said", windingHint}
	}
	return nil
}

const windingHint = `say face and leading edge, as in "face out, top leads", or a number with its chart, as in "top-first 1"`

// String returns "face out, top leads".
func (w Winding) String() string { return w.Face.String() + ", " + w.Leading.String() }

// Words returns a sentence for people who wind and apply the roll.
func (w Winding) Words() string {
	side := "outside"
	if w.Face == FaceIn {
		side = "inside"
	}
	return fmt.Sprintf("The print is on the %s of the roll; the label's %s edge comes off first.",
		side, strings.TrimSuffix(w.Leading.String(), " leads"))
}

// String returns "face out" or "face in".
func (f Face) String() string {
	switch f {
	case FaceOut:
		return "face out"
	case FaceIn:
		return "face in"
	}
	return "face unknown"
}

// String returns "top leads" and so on.
func (l Leading) String() string {
	switch l {
	case TopLeads:
		return "top leads"
	case BottomLeads:
		return "bottom leads"
	case LeftLeads:
		return "left leads"
	case RightLeads:
		return "right leads"
	}
	return "leading edge unknown"
}
