package mark

import (
	"slices"

	"quoin/geometry"
	"quoin/impose/ink"
	"quoin/impose/say"
)

// Selection says what to lay. A nil pointer leaves its mark out.
type Selection struct {
	Clearance   geometry.Length // kept between any two things, and to labels' clips
	Register    *Register
	Eye         *Eye
	Slit        *Slit
	Centre      bool
	Trim        *Trim
	LaneNumbers bool
	Slug        *Slug
	Targets     *Targets
}

// Register are crosses in both margin lanes at both ends of the frame.
type Register struct {
	Size geometry.Length // of the square that the cross fills
	Line geometry.Length // width of its lines
}

// Side is a margin of the web, seen on the printed face with the travel up.
type Side string

// The sides.
const (
	Left  Side = "left"
	Right Side = "right"
	Both  Side = "both"
)

// Eye is the mark that the die station's sensor looks for. Its leading edge is
// level with the leading trim of a row, so that it stands at the same distance
// from every label that it stands for.
type Eye struct {
	Size   geometry.Size    // across x around
	Ink    string           // "" means the darkest
	Side   Side             // Left or Right
	Offset *geometry.Length // from the unprintable edge to the mark; nil means wherever the margin has room
	Track  geometry.Length  // width of the strip, centred on the mark, that stays clear from end to end
	PerRow bool             // one for each row, not only for the first
}

// Slit are ticks in the middle of each gap between lanes, at the frame's
// start.
type Slit struct {
	Length geometry.Length // shortened where the gap has less room
	Line   geometry.Length
}

// Trim are ticks that point at the corners of every label.
type Trim struct {
	Offset geometry.Length // from the trim; the bleed when that is more
	Length geometry.Length // shortened where there is less room
	Line   geometry.Length
}

// Slug is a line of text that tells what the frame is.
type Slug struct {
	Job   string
	Lanes []string // what each lane carries, lane 1 first; may be empty
}

// Targets are the colour control patches in the margin lanes.
type Targets struct {
	Patch      geometry.Size // across x around
	Tints      []float64     // amounts between 0 and 1
	Greys      []Grey        // where cyan, magenta and yellow all print
	Overprints bool          // red, green and blue of cyan, magenta and yellow
	Side       Side          // Left, Right or Both
	Once       bool          // one set at the start, not as many as the frame takes

	// OnWhite puts all patches of colours on a solid of the whites that print, as
	// clear and metallic stock wants, and leaves one patch bare.
	OnWhite   bool
	ThreeInks bool            // cyan, magenta and yellow in full on one patch
	LanePatch geometry.Length // side of the small patches between lanes, one set for each; 0: none
}

// ApertureMargin is what a patch leaves on each side of an instrument's
// opening, for what it may miss the patch's middle (common practice, no source).
const ApertureMargin = 500 * um

// Measurable returns the patch that takes an opening of that diameter: the least
// one is enlarged where it is too small.
func Measurable(least geometry.Size, aperture geometry.Length) geometry.Size {
	side := aperture + 2*ApertureMargin
	return geometry.Size{Across: max(least.Across, side), Around: max(least.Around, side)}
}

// Matrix is the place of patches between lanes.
const Matrix Side = "matrix"

// Grey is a mix of cyan, magenta and yellow that prints neutral, each amount 0
// to 1.
type Grey struct{ Cyan, Magenta, Yellow float64 }

const (
	mm = geometry.Millimetre
	um = geometry.Micrometre
)

// Default returns the options of a job that says nothing: everything but eye and
// trim marks. The slug has no text yet.
//
// A cross of 4 to 8 mm with lines of 0.1 to 0.15 mm, ticks of 5 mm, tints of
// 25, 50 and 75 % and patches of 5 to 6 mm are common practice, no source. The
// grey is the middle one of the usual triplets 25/19/19, 50/40/40 and 75/66/66
// (from memory, not checked): the press's own grey balance decides.
func Default() Selection {
	return Selection{
		Clearance:   500 * um,
		Register:    &Register{Size: 5 * mm, Line: 100 * um},
		Slit:        &Slit{Length: 5 * mm, Line: 100 * um},
		Centre:      true,
		LaneNumbers: true,
		Slug:        &Slug{},
		Targets: &Targets{
			Patch:      geometry.Size{Across: 5 * mm, Around: 5 * mm},
			Tints:      []float64{.25, .5, .75},
			Greys:      []Grey{{.25, .19, .19}, {.5, .4, .4}, {.75, .66, .66}},
			Overprints: true,
			Side:       Both,
		},
	}
}

// DefaultTrim has ticks of 5 mm, 3 mm off the trim, of a quarter point (common
// practice, no source).
func DefaultTrim() *Trim {
	return &Trim{Offset: 3 * mm, Length: 5 * mm, Line: 88 * um}
}

// Lane returns the least target lane that has room for all that the options lay
// in the margins, 0 when that is nothing. An eye mark counts on its own side
// only; the other lane is as wide for the sake of a centred block.
func (o Selection) Lane() geometry.Length {
	width := o.column()
	if width > 0 {
		width += 2 * o.Clearance
	}
	if o.Eye != nil {
		width += o.Eye.Track
	}
	return width
}

// column returns the width of what stands in a margin lane, one behind another.
func (o Selection) column() (width geometry.Length) {
	if o.Register != nil {
		width = o.Register.Size
	}
	if o.Targets != nil {
		width = max(width, o.Targets.Patch.Across)
	}
	return width
}

// check finds what can't be drawn.
func (o Selection) check(inks []ink.Ink) error {
	positive := func(what string, lengths ...geometry.Length) error {
		for _, l := range lengths {
			if l <= 0 {
				return say.Refuse(say.Failed, "give a length of more than 0mm", "%s of %s can't be drawn", what, l)
			}
		}
		return nil
	}
	known := func(what, name string) error {
		if slices.ContainsFunc(inks, func(i ink.Ink) bool { return i.Name == name }) {
			return nil
		}
		return say.Refuse(say.Failed, "name one of the job's printing inks", "%s is to be in %q, which does not print in this job", what, name)
	}
	var faults []error
	if o.Clearance < 0 {
		faults = append(faults, say.Refuse(say.Failed, "give 0mm or more", "a clearance of %s is negative", o.Clearance))
	}
	if r := o.Register; r != nil {
		faults = append(faults, positive("a register mark", r.Size, r.Line))
	}
	if e := o.Eye; e != nil {
		faults = append(faults, positive("an eye mark", e.Size.Across, e.Size.Around))
		if e.Ink != "" {
			faults = append(faults, known("the eye mark", e.Ink))
		}
		if e.Track < e.Size.Across {
			faults = append(faults, say.Refuse(say.Failed, "give a track at least as wide as the mark", "a track of %s is narrower than the eye mark of %s", e.Track, e.Size))
		}
		if e.Side != Left && e.Side != Right {
			faults = append(faults, say.Refuse(say.Failed, "write left or right", "%q is no side for an eye mark", e.Side))
		}
	}
	if s := o.Slit; s != nil {
		faults = append(faults, positive("a slit mark", s.Length, s.Line))
	}
	if t := o.Trim; t != nil {
		faults = append(faults, positive("a trim mark", t.Length, t.Line))
	}
	if t := o.Targets; t != nil {
		faults = append(faults, positive("a patch", t.Patch.Across, t.Patch.Around))
		if t.LanePatch < 0 {
			faults = append(faults, positive("a patch between lanes", t.LanePatch))
		}
		for _, v := range t.Tints {
			if !(v > 0 && v < 1) {
				faults = append(faults, say.Refuse(say.Failed, "give tints between 0 and 100 %", "a tint of %s %% is no tint", say.Exact(100*v)))
			}
		}
		if t.Side != Left && t.Side != Right && t.Side != Both {
			faults = append(faults, say.Refuse(say.Failed, "write left, right or both", "%q is no side for targets", t.Side))
		}
	}
	for _, err := range faults {
		if err != nil {
			return err
		}
	}
	return nil
}
