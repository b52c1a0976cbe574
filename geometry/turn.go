package geometry

import "strconv"

// Turn counts quarter turns counter-clockwise, as seen on the printed face:
// 0 puts the label's top towards the web's travel.
type Turn uint8

// The four turns.
const (
	Turn0 Turn = iota
	Turn90
	Turn180
	Turn270
)

// Degrees returns 0, 90, 180 or 270.
func (t Turn) Degrees() int { return int(t%4) * 90 }

// Swaps reports whether across and around change places.
func (t Turn) Swaps() bool { return t%2 == 1 }

// Plus returns the turn after both.
func (t Turn) Plus(u Turn) Turn { return (t + u) % 4 }

// String returns the degrees.
func (t Turn) String() string { return strconv.Itoa(t.Degrees()) }
