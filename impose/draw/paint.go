package draw

// Paint is what a path is painted in.
type Paint struct {
	// Tints are the inks with their amounts. An ink not named is knocked out,
	// or left alone with Overprint.
	Tints []Tint
	// Overprint leaves the inks not named as they are beneath.
	Overprint bool
}

// Tint is an amount of one ink.
type Tint struct {
	Ink    string
	Amount float64 // 0 to 1
}

// Solid is the full amount of one ink.
func Solid(ink string) Paint { return Paint{Tints: []Tint{{ink, 1}}} }

// Together is the full amount of each ink at once, as register marks need.
func Together(inks ...string) Paint {
	p := Paint{Tints: make([]Tint, len(inks))}
	for i, name := range inks {
		p.Tints[i] = Tint{name, 1}
	}
	return p
}
