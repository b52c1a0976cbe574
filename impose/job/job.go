package job

import (
	"path/filepath"
	"slices"
	"time"

	"quoin/geometry"
)

// Job is everything that one imposition is made from. New gives one with the
// house's defaults; ReadJob fills one from a file, flags may fill or override
// any field, and Validate says what is still missing.
//
// A nil pointer means that the job doesn't say: the value is the press's, or
// the default that the field names.
type Job struct {
	Name string
	Dir  string // folder that relative paths are resolved against; "" is the working folder
	// Content, where set, returns where the content of a named file lies: on a
	// machine that has the file under another name. See Job.Lies.
	Content func(path string) string
	// Date goes into the written file, which never takes the day's own: the same
	// job gives the same bytes. Zero: that of the newest artwork.
	Date time.Time

	Press *Press // nil when the job names none

	WebWidth   geometry.Length  // full width of the material
	Edge       *geometry.Length // unprintable at each side; default 0 mm
	TargetLane *geometry.Length // inside each edge; default DefaultTargetLane
	Material   Material

	Label  geometry.Size    // trim, upright; zero: from the artwork's TrimBox
	Shape  geometry.Shape   // of the label; empty: that of the artwork's own die line or of the die, or else a rectangle
	Radius *geometry.Length // of a rectangle's corners; nil: as the artwork's die line or the die, or none
	// RadiusDrawn says that the radius was read of the artwork's die line. Like
	// that of a die it is cut, and not counted in the label's area.
	RadiusDrawn bool
	// Outline is the file with the contour of the upright label, DXF or SVG, as
	// written, or ArtworkOutline; it goes with ShapeOutline.
	Outline       string
	OutlineLayer  string // the layer of that drawing that holds the cut; empty: all that is shown
	IgnoreDieLine bool   // the artworks' own die lines don't count: neither as the shape, nor against it
	// Nest lays shaped labels as close as their outlines allow, the gap apart in
	// truth and not box to box.
	Nest        bool
	NestUpright bool          // no label is turned by 180 degrees against another
	NestApart   bool          // no label stands across the seam of two frames
	Gap         geometry.Size // least gaps, trim to trim
	Bleed       geometry.Length
	FromCut     *geometry.Length // least distance of text, bars and lines from the cut; nil: as the press file says
	Turns       []geometry.Turn  // allowed turns; none means that winding or density decides
	Repeat      Repeat
	Dies        *Library // die room; nil when the job names none
	Die         string   // number of the die that cuts the job; empty: none is chosen
	Lanes       int      // 0: as many as fit
	Rows        int      // 0: as many as fit
	Shift       geometry.Length
	Mirror      bool // second-surface (reverse) print: the frame is mirrored across

	Artworks   []Artwork
	EdgeMatrix *geometry.Length // least matrix at each edge of the web; nil: the press's, or geometry.EdgeMatrix
	// UnusedLanes lets dies that are wider than the web cut on fewer lanes; nil: as
	// the press says.
	UnusedLanes *bool

	// PermittedBy is who gave leave to place artworks whose permissions forbid it;
	// empty: such are refused.
	PermittedBy string
	Password    string // opens locked artworks that have none of their own
	LongContent bool   // take artworks of more content than is usually looked at

	Cutting bool // draw the die's contours as a processing step

	Marks    Marks
	Targets  Targets
	Inks     InkRules
	Output   OutputIntent
	Run      Terms
	Winding  *geometry.Winding // nil when the job doesn't say
	Flexo    *FlexoUnit        // in line; nil: none
	Windings int               // how often the web is wound up; 0: as the press's route
	Roll     Roll
	Data     *Data   // records of variable data; nil when all labels are alike
	Fields   []Field // what differs from label to label

	// Took is what the job took from house files, the nearest first.
	Took   []Took
	Orders OrderForm // how the order file of a night is written

	source source
	faults []Fault // of the files, for Validate
}

// DefaultTargetLane takes a patch of 5 mm with clearance on both sides;
// common practice, no source.
const DefaultTargetLane = 8 * geometry.Millimetre

// DefaultBleed is 1/16 inch: frontierlabel.com, artwork help; 1.5875 to
// 3.175 mm is asked for by uk.onlinelabels.com, design help.
const DefaultBleed = geometry.Inch / 16

// DefaultGap is 1/8 inch, between the 3 mm preferred and the 4 mm allowed by
// media specifications for thermal label printers; across, common practice,
// no source.
const DefaultGap = geometry.Inch / 8

// New returns what a job file that says nothing gives.
func New() *Job {
	return &Job{
		Gap:     geometry.Size{Across: DefaultGap, Around: DefaultGap},
		Bleed:   DefaultBleed,
		Marks:   DefaultMarks(),
		Targets: DefaultTargets(),
		Output:  OutputIntent{Conflict: Refuse},
	}
}

// Web returns the web with what the job leaves to the press.
func (j *Job) Web() geometry.Web {
	w := geometry.Web{Width: j.WebWidth, TargetLane: DefaultTargetLane}
	if p := j.Press; p != nil {
		w.Edge = p.Edge
		w.TargetLane = or(p.TargetLane, w.TargetLane)
	}
	w.Edge = or(j.Edge, w.Edge)
	w.TargetLane = or(j.TargetLane, w.TargetLane)
	return w
}

// TargetLaneGiven reports whether the job or its press says how wide the target
// lanes are, so that nothing else may decide it.
func (j *Job) TargetLaneGiven() bool {
	return j.TargetLane != nil || j.Press != nil && j.Press.TargetLane != nil
}

// Request returns what the layout is planned from.
func (j *Job) Request() geometry.Request {
	repeat := j.Repeat.Rule()
	if j.Press != nil && repeat == (geometry.Repeat{}) {
		repeat.Max = j.Press.LongestFrame
	}
	return geometry.Request{
		Web: j.Web(), Label: sharedLabel(j), Gap: j.Gap, Bleed: j.Bleed, Repeat: repeat,
		Turns: turns(j), Lanes: j.Lanes, Rows: j.Rows, Shift: j.Shift,
	}
}

// turns returns the turn that the winding needs, of those that the job allows; where
// nobody says a winding, those, or else what is tried when nothing decides.
func turns(j *Job) []geometry.Turn {
	if t, said := j.woundTurn(); said && (len(j.Turns) == 0 || slices.Contains(j.Turns, t)) {
		return []geometry.Turn{t}
	}
	if len(j.Turns) > 0 {
		return j.Turns
	}
	return AutoTurns()
}

// Terms returns what the run costs beside its plain length with so many
// printing inks: the press's figures, except where the job says otherwise. It
// fails when the press has too few stations for the inks.
func (j *Job) Terms(inks int) (geometry.Terms, error) {
	var t geometry.Terms
	if p := j.Press; p != nil {
		t = geometry.Terms{
			Setup:    p.Setup + geometry.Length(inks)*p.InkSetup,
			SetupMin: p.SetupMin + float64(inks)*p.InkSetupMin,
			RunWaste: p.RunWaste,
		}
		speed, err := p.Speed(inks)
		if err != nil {
			return t, err
		}
		t.Speed = speed
	}
	r := j.Run
	t.Setup = or(r.Setup, t.Setup)
	t.SetupMin = or(r.SetupMin, t.SetupMin)
	t.RunWaste = or(r.RunWaste, t.RunWaste)
	t.Overs = or(r.Overs, t.Overs)
	t.Speed = or(r.Speed, t.Speed)
	t.Frames = r.Frames
	return t, nil
}

// Route returns the web's way to the customer: as the job says, or else the
// press's usual one. Its Windings are 0 when neither says.
func (j *Job) Route() geometry.Route {
	r := geometry.Route{Windings: j.Windings, SecondSurface: j.Mirror}
	if r.Windings == 0 && j.Press != nil {
		r.Windings = j.Press.Finishing.Windings
	}
	return r
}

// Path returns where a file that the job names is, seen from the working folder.
func (j *Job) Path(file string) string {
	return beside(filepath.Join(j.Dir, "job"), file)
}

// Lies returns where the content of a file lies whose path, as Path gives it, is
// what people call it.
func (j *Job) Lies(path string) string {
	if j.Content == nil {
		return path
	}
	return j.Content(path)
}

// Common returns what other jobs may share of this one: all but its artworks, and
// without the places of its values, which would be no places of theirs.
func (j *Job) Common() *Job {
	c := *j
	c.Artworks, c.source, c.faults = nil, source{}, nil
	return &c
}

// At returns where the value of a key stands in the job file, as in
// "artworks[0].file", or in the house file that it was taken from; where neither
// says it, the nearest key around it.
func (j *Job) At(key string) Position {
	if _, own := j.source.find(key); !own {
		for _, t := range j.Took {
			if at, ok := t.source.find(key); ok {
				return Position{t.Path, at.line, at.col}
			}
		}
	}
	return j.source.at(key)
}

// FreeWeb leaves the web's width open where it came from a house file and the
// press knows which widths there are to choose from.
func FreeWeb(j *Job) {
	if len(StockWebs(j)) == 0 {
		return
	}
	for i, t := range j.Took {
		for n, k := range t.Keys {
			if k.Key == "web" {
				j.WebWidth = 0
				j.Took[i].Keys = slices.Delete(slices.Clone(t.Keys), n, n+1)
				return
			}
		}
	}
}

// AutoTurns are the turns tried when nothing decides: upright and a quarter.
func AutoTurns() []geometry.Turn { return []geometry.Turn{geometry.Turn0, geometry.Turn90} }

// Repeat is the rule for the frame's length; the zero value leaves it to the
// press's longest frame. At most one of Longest, Fixed and Teeth is set.
type Repeat struct {
	Longest geometry.Length // free frame, up to this
	Fixed   geometry.Length
	Teeth   int // of a cylinder that runs on Gear
	Gear    geometry.Gear
}

// Rule returns the rule in geometry's words.
func (r Repeat) Rule() geometry.Repeat {
	if r.Teeth > 0 {
		return geometry.FixedRepeat(r.Gear.Repeat(r.Teeth))
	}
	return geometry.Repeat{Max: r.Longest, Fixed: r.Fixed}
}

// Terms override the press's; nil leaves them.
type Terms struct {
	Setup    *geometry.Length
	SetupMin *float64 // minutes
	RunWaste *geometry.Share
	Overs    *geometry.Share // default 0 %
	Speed    *geometry.Length
	Frames   int64 // least frames; 0 leaves it to the quantities
}

// Artwork is one product of the job. At most one of LaneCount, LaneList and
// StationCount is set; when none is, the artworks share the lanes by their
// quantities. Stations are counted for all artworks of a job or for none.
type Artwork struct {
	File    string // as written; see Job.Dir
	Page    int    // first is 1
	Product string // as people call it; may be empty
	// Label is the trim of this artwork's upright label, where lanes differ in
	// width; zero: as the job's.
	Label     geometry.Size
	Quantity  int64 // ordered labels
	LaneCount int   // so many lanes, from the left in the order of the file
	LaneList  []int // these lanes, first is 1
	// StationCount is so many stations, filled along one lane after the other,
	// so that neighbours may share a lane; for gang runs only, as their rolls
	// must be sorted.
	StationCount  int
	LabelsPerRoll int64 // on its finished rolls; 0: as the job's Roll says
	Splices       *bool // whether its rolls may be spliced; nil: as the job's Roll says
	// Winding is how its rolls pay out, nil: as the job's. Its lanes are turned for
	// it, which lanes of one frame may be differently where the cut stays the same.
	Winding     *geometry.Winding
	DrugLabel   bool   // never shares a frame with another product
	Password    string // opens the file; empty: as the job's
	PermittedBy string // who gave leave to place it; empty: as the job's
}

// Material is the stock of the job.
type Material struct {
	Name    string
	Kind    string          // word that dies and stripping rules know it by, as "film"; empty: any
	Caliper geometry.Length // of the whole construction after stripping; 0: unknown
}

func or[T any](p *T, otherwise T) T {
	if p != nil {
		return *p
	}
	return otherwise
}

// ArtworkOutline stands in Job.Outline for the artwork's own die line; a file of
// this name is written ./artwork.
const ArtworkOutline = "artwork"
