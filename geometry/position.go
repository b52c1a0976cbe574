package geometry

// Position is a place on the frame, seen on the printed face with the web's
// travel pointing up. Across grows from the left edge of the web to the right;
// Around grows from the frame's leading end, which is printed first, against
// the travel.
type Position struct{ Across, Around Length }

// Add returns the position moved by s.
func (p Position) Add(s Size) Position { return Position{p.Across + s.Across, p.Around + s.Around} }

// Turned returns the position turned counter-clockwise about the origin, seen with
// the travel pointing up.
func (p Position) Turned(t Turn) Position {
	switch t % 4 {
	case Turn90:
		return Position{p.Around, -p.Across}
	case Turn180:
		return Position{-p.Across, -p.Around}
	case Turn270:
		return Position{-p.Around, p.Across}
	}
	return p
}

// Box is an upright rectangle on the frame. Min is its corner nearest to the
// left edge and the leading end, Max the opposite one. A box with Max not
// beyond Min in both directions is empty.
type Box struct{ Min, Max Position }

// BoxAt returns the box of a size with its leading left corner at p.
func BoxAt(p Position, s Size) Box { return Box{p, p.Add(s)} }

// Size returns the extent of the box.
func (b Box) Size() Size {
	return Size{b.Max.Across - b.Min.Across, b.Max.Around - b.Min.Around}
}

// Empty reports whether the box holds no area.
func (b Box) Empty() bool { return b.Max.Across <= b.Min.Across || b.Max.Around <= b.Min.Around }

// Centre returns the middle, rounded towards Min by less than a nanometre.
func (b Box) Centre() Position {
	s := b.Size()
	return Position{b.Min.Across + s.Across/2, b.Min.Around + s.Around/2}
}

// Outset returns the box grown by l on every side; a negative l shrinks it.
func (b Box) Outset(l Length) Box {
	return Box{
		Position{b.Min.Across - l, b.Min.Around - l},
		Position{b.Max.Across + l, b.Max.Around + l},
	}
}

// Moved returns the box moved by s.
func (b Box) Moved(s Size) Box { return Box{b.Min.Add(s), b.Max.Add(s)} }

// Intersect returns what both boxes cover; it is empty when they only touch.
func (b Box) Intersect(c Box) Box {
	return Box{
		Position{max(b.Min.Across, c.Min.Across), max(b.Min.Around, c.Min.Around)},
		Position{min(b.Max.Across, c.Max.Across), min(b.Max.Around, c.Max.Around)},
	}
}

// Union returns the least box over both; an empty box adds nothing.
func (b Box) Union(c Box) Box {
	switch {
	case b.Empty():
		return c
	case c.Empty():
		return b
	}
	return Box{
		Position{min(b.Min.Across, c.Min.Across), min(b.Min.Around, c.Min.Around)},
		Position{max(b.Max.Across, c.Max.Across), max(b.Max.Around, c.Max.Around)},
	}
}

// Overlaps reports whether the boxes share any area; touching edges do not.
func (b Box) Overlaps(c Box) bool { return !b.Intersect(c).Empty() }

// Contains reports whether c lies in b, edges included.
func (b Box) Contains(c Box) bool {
	return b.Min.Across <= c.Min.Across && b.Min.Around <= c.Min.Around &&
		c.Max.Across <= b.Max.Across && c.Max.Around <= b.Max.Around
}
