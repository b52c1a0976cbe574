package job

import "quoin/geometry"

// InkRules say what becomes of the artworks' spot inks. All lists hold names as
// they are after Aliases, which don't chain.
type InkRules struct {
	Aliases    []Alias  // in the order of the file
	Silence    []string // mapped to None: these never print
	Technical  []string // seen in the file, never printed: die lines and the like
	White      []string // these spots are opaque whites
	Varnish    []string // these spots are varnishes
	Spot       []string // these are plain spots, whatever their name suggests
	Underprint *Underprint
	Limit      geometry.Share // most that the inks may add up to; 0: as the press file says
}

// InkLimit is the most that the inks may add up to at a place, in per cent; 0
// where neither the job nor its press says.
func (j *Job) InkLimit() float64 {
	limit := j.Inks.Limit
	if limit == 0 && j.Press != nil {
		limit = j.Press.InkLimit
	}
	return 100 * limit.Float()
}

// LeastFromCut is the least distance of text, bars and lines from the cut, as
// DistanceFromCut has it.
func (j *Job) LeastFromCut() geometry.Length {
	if j.FromCut == nil && j.Press != nil {
		return DistanceFromCut(j.Press.FromCut)
	}
	return DistanceFromCut(j.FromCut)
}

// DistanceFromCut returns a rule for the least distance from the cut as those who
// look at plates take it: 0 is the usual one, where nobody says it, and what is
// negative asks for none.
func DistanceFromCut(rule *geometry.Length) geometry.Length {
	switch {
	case rule == nil:
		return 0
	case *rule == 0:
		return -1
	}
	return *rule
}

// Alias prints the ink From under the name To.
type Alias struct{ From, To string }

// Underprint asks for a white that the engine makes under the colours.
type Underprint struct {
	Ink   string
	Shape UnderprintShape
	Choke geometry.Length // how far the white stays inside the artwork's edge
	Hits  int             // layers of white, each on a station of its own
}

// UnderprintShape is what the white covers.
type UnderprintShape string

// The shapes of an underprint.
const (
	Flood   UnderprintShape = "flood"   // the whole label with its bleed
	ByShape UnderprintShape = "artwork" // what the artwork paints
)

// DefaultUnderprint floods once, choked by 0.15 mm: 0.1 to 0.2 mm is common
// practice, no source.
func DefaultUnderprint() Underprint {
	return Underprint{Ink: "White", Shape: Flood, Choke: 150 * geometry.Micrometre, Hits: 1}
}

// OutputIntent is the printing condition that the frame is made for. A zero
// one is taken from the artworks.
type OutputIntent struct {
	Profile   string // ICC file as written; see Job.Dir
	Condition string // identifier of the condition, as in a characterisation registry
	Registry  string // where the identifier is defined
	Info      string
	Conflict  Conflict // what to do when the artworks' own intents disagree
}

// Given reports whether the job names a printing condition.
func (o OutputIntent) Given() bool { return o.Profile != "" || o.Condition != "" }

// Conflict is a policy for artworks that disagree.
type Conflict string

// The policies.
const (
	Refuse Conflict = "refuse"
	Warn   Conflict = "warn"
)
