package vary

import (
	"quoin/geometry"
	"quoin/impose/barcode"
)

// station is where one label stands.
type station struct {
	geometry.Station
	lane   int // index in Order.Lanes
	device [2]int
}

// upright returns the label's size as its artwork stands.
func (s *station) upright() geometry.Size {
	size := s.Trim.Size()
	if s.Turn.Swaps() {
		size.Across, size.Around = size.Around, size.Across
	}
	return size
}

// at takes a place on the upright label to the frame.
func (s *station) at(p geometry.Position) geometry.Position {
	corner := s.Trim.Min
	switch s.Turn % 4 { // where the label's top left is
	case geometry.Turn90:
		corner.Around = s.Trim.Max.Around
	case geometry.Turn180:
		corner = s.Trim.Max
	case geometry.Turn270:
		corner.Across = s.Trim.Max.Across
	}
	// Corner and offset each take the nearest pixel, so that a label has the same
	// dots wherever it is printed, and when it is printed again.
	offset := barcode.Snap(p.Turned(s.Turn), s.device[0], s.device[1])
	return barcode.Snap(corner, s.device[0], s.device[1]).Add(geometry.Size(offset))
}

// corner returns the place on the frame of the corner that is at the top left
// when the field is upright, from its box on the label and its turn there.
func (s *station) corner(b geometry.Box, turn geometry.Turn) geometry.Position {
	p := b.Min
	switch turn % 4 {
	case geometry.Turn90:
		p.Around = b.Max.Around
	case geometry.Turn180:
		p = b.Max
	case geometry.Turn270:
		p.Across = b.Max.Across
	}
	return s.at(p)
}

// box takes a box on the upright label to the frame.
func (s *station) box(b geometry.Box) geometry.Box {
	p, q := s.at(b.Min), s.at(b.Max)
	return geometry.Box{
		Min: geometry.Position{Across: min(p.Across, q.Across), Around: min(p.Around, q.Around)},
		Max: geometry.Position{Across: max(p.Across, q.Across), Around: max(p.Around, q.Around)},
	}
}
