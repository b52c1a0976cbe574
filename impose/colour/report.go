package colour

import (
	"quoin/impose/colour/cielab"
)

// Schema names the report's form; scripts check it. Keys may be added, never
// renamed or given another meaning.
const Schema = "quoin/colour/1"

// Verdict is what the operator is to do.
type Verdict string

// The verdicts.
const (
	Pass Verdict = "pass" // in tolerance
	Look Verdict = "look" // near a limit, drifting, or something was not measured
	Stop Verdict = "stop" // out of tolerance
)

// Worse reports whether the verdict is worse than another.
func (v Verdict) Worse(than Verdict) bool { return v.rank() > than.rank() }

func (v Verdict) rank() int {
	switch v {
	case Stop:
		return 2
	case Look:
		return 1
	}
	return 0
}

// Report is all that there is to say about a run's colour: one struct for the
// text, the JSON, the page and the PDF. Differences are CIEDE2000 unless a key
// says 76, tone values percent, lengths metres of the run.
type Report struct {
	Schema     string         `json:"schema"`
	Job        string         `json:"job"`
	Run        string         `json:"run"` // the summary
	RunM       float64        `json:"run_m"`
	Verdict    Verdict        `json:"verdict"`
	Worst      []Check        `json:"worst"` // the patches that matter most, at most three
	Paper      *Colour        `json:"paper"`
	Inks       []InkResult    `json:"inks"`
	Overprints []Colour       `json:"overprints"`
	Greys      []Grey         `json:"greys"`
	Spread     *Spread        `json:"midtone_spread"`
	Opacity    []Opacity      `json:"opacity"`
	Sides      []Sides        `json:"sides"`
	Lanes      []LaneShift    `json:"lanes"`
	Drift      []Drift        `json:"drift"`
	Checks     []Check        `json:"checks"`
	Curves     []Curve        `json:"curves"`
	Fewer      []FewerInks    `json:"fewer_inks"`
	Together   *FewerTogether `json:"fewer_together"` // null where less than two builds are near
	Measured   []Measured     `json:"measured"`
	Unmatched  []Unmatched    `json:"unmatched"`
	Notes      []string       `json:"notes"`
	Tolerances Tolerances     `json:"tolerances"`

	Strip []Colour `json:"strip"` // every kind of patch as measured and as aimed at, in the frame's order
}

// Colour is what was measured of one kind of patch.
type Colour struct {
	Patch    string       `json:"patch"` // its name
	Number   int          `json:"number"`
	Lab      cielab.Lab   `json:"lab"`      // mean
	Readings int          `json:"readings"` // that stand behind it
	Aim      *cielab.Lab  `json:"aim"`      // null where nothing says one
	Source   string       `json:"aim_source,omitempty"`
	DE00     *float64     `json:"de00"` // of the mean from the aim
	DE76     *float64     `json:"de76"`
	WorstDE  *float64     `json:"worst_de00"` // of one frame from the aim
	WorstM   float64      `json:"worst_m"`
	RunDE    float64      `json:"run_de00"` // largest of one frame from the mean
	RunM     float64      `json:"run_de00_m"`
	Series   []SeriesStep `json:"series,omitempty"` // over the run
}

// SeriesStep is one frame's reading.
type SeriesStep struct {
	M        float64    `json:"m"`
	Lab      cielab.Lab `json:"lab"`
	DE00     *float64   `json:"de00"` // from the aim
	Readings int        `json:"readings"`
}

// InkResult is one ink.
type InkResult struct {
	Name   string  `json:"name"`
	Kind   string  `json:"kind"`
	Solid  *Colour `json:"solid"` // null where none was measured
	Tones  []Tone  `json:"tones"`
	Advice string  `json:"advice,omitempty"` // whether more or less ink would help
}

// Tone is one tint's tone value: of a spot by ISO 20654.
type Tone struct {
	Nominal  float64  `json:"nominal"`
	Value    float64  `json:"value"`
	Increase float64  `json:"increase"`
	Aim      *float64 `json:"aim"` // tone value; null where nothing says one
	Readings int      `json:"readings"`
	WorstOff *float64 `json:"worst_off"` // of one frame from the aim, in points
	WorstM   float64  `json:"worst_m"`
}

// Grey is a grey patch's balance.
type Grey struct {
	Patch    string     `json:"patch"`
	Number   int        `json:"number"`
	Lab      cielab.Lab `json:"lab"`
	Aim      cielab.Lab `json:"aim"`
	Off      float64    `json:"off"`         // from the aim, in a* and b*
	Neutral  float64    `json:"off_neutral"` // from paper's own tinge scaled with lightness, in a* and b*
	Readings int        `json:"readings"`
	Words    string     `json:"words"` // which way
}

// Spread is how far the deviations of the mid-tones of C, M and Y stand apart.
type Spread struct {
	Points float64 `json:"points"`
	Aimed  bool    `json:"aimed"` // from aims, and not from each other's increase
}

// Opacity is a white's, over black.
type Opacity struct {
	Ink     string  `json:"ink"`
	Percent float64 `json:"percent"`
}

// Sides compares the margins.
type Sides struct {
	Patch string     `json:"patch"`
	DE00  float64    `json:"de00"`
	Left  cielab.Lab `json:"left"`
	Right cielab.Lab `json:"right"`
}

// LaneShift is how far a lane's own patch is off the mean of all lanes.
type LaneShift struct {
	Lane  int        `json:"lane"`
	Patch string     `json:"patch"`
	Lab   cielab.Lab `json:"lab"`
	DE00  float64    `json:"de00"`
}

// Drift is a change over the run.
type Drift struct {
	Ink   string  `json:"ink"` // or paper
	FromM float64 `json:"from_m"`
	ToM   float64 `json:"to_m"`
	Size  float64 `json:"size"` // points of tone value, or CIEDE2000
	What  string  `json:"what"`
}

// Check is one thing that was held against a limit.
type Check struct {
	Patch     string  `json:"patch"`
	Number    int     `json:"number"` // of the first such patch; 0 for several
	What      string  `json:"what"`
	Value     float64 `json:"value"`
	Tolerance float64 `json:"tolerance"`
	M         float64 `json:"m"` // where it was worst
	Verdict   Verdict `json:"verdict"`
	Text      string  `json:"text"`

	part float64 // how much of the tolerance is taken
}

// Curve is a correction that would bring an ink's tone values to their aim; it
// is advice, and never applied to an artwork.
type Curve struct {
	Ink    string       `json:"ink"`
	Points [][2]float64 `json:"points"` // tint of the file, tint to print, in percent
}

// FewerInks is what a build of the process inks in place of a spot would do.
type FewerInks struct {
	Ink  string     `json:"ink"`
	CMYK [4]float64 `json:"cmyk_percent"`
	Lab  cielab.Lab `json:"predicted"`
	DE00 float64    `json:"de00"` // predicted, from the spot's aim
	Near bool       `json:"near"` // within what the house calls near
	Saving
	Text string `json:"text"`
}

// FewerTogether is what builds in place of several spots would save.
type FewerTogether struct {
	Spots []string `json:"spots"`
	Saving
	Text string `json:"text"`
}

// Saving is what a run with less stations saves.
type Saving struct {
	Inks     int     `json:"printing_inks"`
	SpeedM   float64 `json:"speed_m_per_min"` // without the stations
	SavedMin float64 `json:"saved_min"`
	Saved    float64 `json:"saved"` // money; 0 without prices
	Currency string  `json:"currency,omitempty"`
}
