package job

import "quoin/geometry"

// Marks says which marks the frame carries.
type Marks struct {
	Register Register
	Eye      *EyeMark // nil: none
	Slit     bool     // ticks in the middle of each gap, at the frame's start
	Centre   bool     // tick on the web's centre
	Trim     bool     // corner marks of each label
	Slug     bool     // a line that names job, frame, lanes and inks
}

// Register are the crosses for colour register, in both margins at both ends
// of the frame.
type Register struct {
	On   bool
	Size geometry.Length // of the cross
	Line geometry.Length // width of its lines
}

// EyeMark is what the die station's sensor looks for.
type EyeMark struct {
	Size   geometry.Size // across x around
	Ink    string
	Side   Side            // the margin that it stands in: Left or Right
	Offset geometry.Length // across, from the unprintable edge to the mark
	Every  Every           // once a row or once a frame
	Track  geometry.Length // width of the strip, centred on the mark, that stays clear
}

// Side is a margin of the web, seen on the printed face with the travel up.
type Side string

// The sides of the web.
const (
	Left  Side = "left"
	Right Side = "right"
	Both  Side = "both"
)

// Every says how often something comes around.
type Every string

// The intervals.
const (
	EveryRow   Every = "row"
	EveryFrame Every = "frame"
)

// DefaultMarks are those of a job that says nothing: a cross of 4 to 8 mm with
// lines of 0.1 to 0.15 mm is common practice, no source.
func DefaultMarks() Marks {
	return Marks{
		Register: Register{On: true, Size: 5 * geometry.Millimetre, Line: 100 * geometry.Micrometre},
		Slit:     true, Centre: true, Slug: true,
	}
}

// DefaultEyeMark is 3 x 7 mm in black at the left, once a frame. The size is
// that of a published tube label drawing (1OZ_WHITE_TUBES.pdf); the rest is
// common practice, no source.
func DefaultEyeMark() EyeMark {
	return EyeMark{
		Size:  geometry.Size{Across: 3 * geometry.Millimetre, Around: 7 * geometry.Millimetre},
		Ink:   "Black",
		Side:  Left,
		Every: EveryFrame,
		Track: 5 * geometry.Millimetre,
	}
}

// Targets says which colour targets the margin lanes carry.
type Targets struct {
	On         bool
	Patch      geometry.Size // across x around
	Tints      []geometry.Share
	Grey       bool // a grey of cyan, magenta and yellow
	Overprints bool // red, green and blue of the process inks, two by two
	Along      bool // repeated along the whole frame; otherwise once at its start
	Side       Side

	Aperture  geometry.Length // of the instrument; patches are at least as large as it needs; 0: as Patch says
	OnWhite   bool            // all on white, and one bare, for clear and metallic stock
	ThreeInks bool            // an overprint of cyan, magenta and yellow
	Lanes     bool            // small patches between lanes, a set for each
}

// DefaultTargets are those of a job that says nothing: patches of 5 to 6 mm
// and tints of 25, 50 and 75 % are common practice, no source.
func DefaultTargets() Targets {
	return Targets{
		On:    true,
		Patch: geometry.Size{Across: 5 * geometry.Millimetre, Around: 5 * geometry.Millimetre},
		Tints: []geometry.Share{25 * geometry.Percent, 50 * geometry.Percent, 75 * geometry.Percent},
		Grey:  true, Overprints: true, Along: true, Side: Both,
	}
}
