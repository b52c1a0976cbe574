// Package plan plans the gang runs of a night: which orders share a frame, in
// how many lanes, for how long; what no plan undercuts, what each rule costs and
// what one more set-up would buy.
package plan

import (
	"quoin/impose/night"
	"quoin/impose/night/intake"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Schema names the plan's form; scripts check it. Keys may be added, never
// renamed or given another meaning.
const Schema = "quoin/night/1"

// Plan is what there is to say about a night: one struct for the text, the JSON
// and the HTML. Keys carry their units.
type Plan struct {
	Schema string        `json:"schema"`
	Night  string        `json:"night"`
	Day    string        `json:"day,omitempty"`
	Lanes  string        `json:"lanes"`            // whole or mixed
	Widths string        `json:"widths,omitempty"` // mixed: labels of different widths may share a frame
	By     night.Measure `json:"by"`               // what the plan has the least of
	Runs   []Run         `json:"runs"`
	// Of a plan made again: what is printed or on the press, in the words of the
	// plan before and in none of the sums, and what changed.
	Printed    []Run   `json:"printed,omitempty"`
	Replan     *Replan `json:"replan,omitempty"`
	Total      Total   `json:"total"`
	Bound      Bound   `json:"bound"`
	GapPercent float64 `json:"gap_percent"` // of the measure, above the bound
	Proved     bool    `json:"proved"`      // no plan of these groups is better
	// ProvedFor is TheseGroups where orders could have been grouped otherwise:
	// bound, gap and proof then hold for the groups that were chosen. Else "".
	ProvedFor string       `json:"proved_for,omitempty"`
	Alone     Alone        `json:"alone"`
	Groups    []GroupPart  `json:"groups"`
	Unplanned []night.Note `json:"unplanned"` // left out: nothing of it is printed, but for a run that failed
	Later     []night.Note `json:"later"`     // waits for a later night
	Notes     []night.Note `json:"notes"`     // taken, with a word
	// By money: the currency and its smallest unit, which all money is whole
	// numbers of, what is late, and what each press does.
	Currency  string         `json:"currency,omitempty"`
	MoneyUnit float64        `json:"money_unit,omitempty"`
	Late      []LateRun      `json:"late,omitempty"`
	Presses   []PressPart    `json:"presses,omitempty"`
	Days      *Days          `json:"days,omitempty"`  // where another plan than the cheapest was taken for them
	Tools     []ToolOffer    `json:"tools,omitempty"` // that would pay, and are not there
	Compare   []Variant      `json:"compare,omitempty"`
	Curve     []CurvePart    `json:"curve,omitempty"`
	Inputs    []summary.File `json:"inputs,omitempty"`
	Pins      *night.Pins    `json:"pins,omitempty"` // what the planner asked for of single orders

	rules  *night.Rules
	groups []*group
	tables []*table // of the presses, by money
	joint  joint
	before *Before
}

// TheseGroups is what a plan is proved for where orders of several ink sets may
// share runs: merging is decided by short searches, which prove nothing.
const TheseGroups = "these groups"

// Run is one set-up of the press.
type Run struct {
	Run         int     `json:"run"` // in the order of printing, from 1
	Name        string  `json:"name"`
	Group       int     `json:"group"`
	Frames      int64   `json:"frames"`
	WebM        float64 `json:"web_m"`       // net: frames x repeat
	WebGrossM   float64 `json:"web_gross_m"` // with run waste and make-ready
	PressMin    float64 `json:"press_min"`
	Lanes       int     `json:"lanes"`
	Rows        int     `json:"rows"`
	BlankLanes  int64   `json:"blank_lanes"`
	BlankPlaces int64   `json:"blank_stations"`
	// UnusedLanes are those of a die wider than the web, that cut and aren't printed.
	UnusedLanes int `json:"unused_lanes,omitempty"`
	// BandLeftMM is what the lanes leave of the band, where they differ in width:
	// there such a run has no blank lane.
	BandLeftMM float64 `json:"band_left_mm,omitempty"`
	RepeatMM   float64 `json:"repeat_mm"`
	Due        string  `json:"due,omitempty"` // the earliest of its orders
	// By money: where and when the run is printed and what it costs. The time
	// holds what changes before it, of the press, which its minutes do not.
	Press     string         `json:"press,omitempty"`
	WebMM     float64        `json:"web_mm,omitempty"`
	Die       string         `json:"die,omitempty"`
	Start     string         `json:"start,omitempty"`
	End       string         `json:"end,omitempty"`
	ChangeMin float64        `json:"change_min,omitempty"`
	LateMin   float64        `json:"late_min,omitempty"` // working minutes behind its day
	Money     *int64         `json:"money,omitempty"`
	Parts     []Part         `json:"parts,omitempty"`
	Orders    []Share        `json:"orders"`
	Warnings  []say.Note     `json:"warnings,omitempty"` // of its imposing
	Files     []summary.File `json:"files,omitempty"`
	Proof     *Proof         `json:"proof,omitempty"` // of the PDF; none where nobody looked

	group    *group
	late     []string // its orders that are
	was      int      // the kept run's place in the earlier plan, from 1; 0: it is none
	priority int
	changed  map[Item]int64 // money for what changes before the run, in grains
}

// Proof says how a run's PDF was proved.
type Proof struct {
	Bytes  bool        `json:"bytes"` // against its summary and its artworks, object by object
	Pixels *PixelProof `json:"pixels,omitempty"`
}

// PixelProof says how far the plates of a run are from those of its artworks.
type PixelProof struct {
	Stations int     `json:"stations"`
	Distinct int     `json:"distinct"` // stations that differ in what they show or how they stand
	DPI      float64 `json:"dpi"`
	Worst    float64 `json:"worst_percent"` // points of tint
	WorstAt  string  `json:"worst_at,omitempty"`
}

// Share is an order's part of a run.
type Share struct {
	Order   string `json:"order"`
	Product string `json:"product,omitempty"`
	Lanes   int64  `json:"lanes"` // whole lanes; 0 where lanes are mixed
	// LabelMM is the order's label, across, around, upright, where the group's
	// labels differ in width.
	LabelMM       *[2]float64 `json:"label_mm,omitempty"`
	TurnDeg       *int        `json:"turn_deg,omitempty"` // of its lanes, where those of the group are turned differently
	Stations      int64       `json:"stations"`
	Labels        int64       `json:"labels"`
	Ordered       int64       `json:"ordered"`                   // what of the order is due from this run
	Overs         int64       `json:"overs"`                     // labels beyond that
	Trimmed       int64       `json:"trimmed,omitempty"`         // labels that come off with the ends of whole rolls
	Scrap         int64       `json:"scrap,omitempty"`           // of the overs, those that the customer does not take
	LabelsPerRoll int64       `json:"labels_per_roll,omitempty"` // on a finished roll: the order's, or else the house's
	Rolls         int64       `json:"rolls,omitempty"`           // full ones
	PartRolls     int64       `json:"part_rolls,omitempty"`
	Split         bool        `json:"split,omitempty"` // the order stands in other runs too
	Part          int         `json:"part,omitempty"`  // of a split order, as planned: the first is 1
	Parts         int         `json:"parts,omitempty"`
	OtherRuns     []string    `json:"other_runs,omitempty"` // names of those that hold the rest, as planned
	With          []string    `json:"with,omitempty"`       // orders that it is pinned together with
	OrderQuantity int64       `json:"order_quantity"`       // of the whole order
	Priority      int         `json:"priority,omitempty"`
	Due           string      `json:"due,omitempty"`
	Artwork       string      `json:"artwork,omitempty"`
	Page          int         `json:"page,omitempty"`
	SHA256        string      `json:"sha256,omitempty"` // of the artwork
	Money         *int64      `json:"money,omitempty"`  // the order's part of the run's

	order   *intake.Order
	splices int64
}

// Total is the whole night.
type Total struct {
	Runs      int     `json:"runs"`
	Orders    int     `json:"orders"`
	WebNetM   float64 `json:"web_net_m"`
	RunWasteM float64 `json:"run_waste_m"`
	SetupM    float64 `json:"setup_m"`
	WebM      float64 `json:"web_m"` // net, run waste and set-ups
	PressMin  float64 `json:"press_min"`
	FinishMin float64 `json:"finish_min,omitempty"` // at the finishing line; where the press file knows its speed
	Ordered   int64   `json:"ordered"`
	Labels    int64   `json:"labels"`
	Overs     int64   `json:"overs"`
	Trimmed   int64   `json:"trimmed,omitempty"`
	Scrap     int64   `json:"scrap"`
	Money     *int64  `json:"money,omitempty"`
	Parts     []Part  `json:"parts,omitempty"`
}

// Bound is what no plan of these groups under these rules undercuts.
type Bound struct {
	WebM     float64 `json:"web_m"`
	PressMin float64 `json:"press_min"`
	Runs     int     `json:"runs"`
	Money    *int64  `json:"money,omitempty"`
}

// Alone compares with a run for every order.
type Alone struct {
	Runs            int     `json:"runs"`
	WebM            float64 `json:"web_m"`
	PressMin        float64 `json:"press_min"`
	SavedRuns       int     `json:"saved_runs"`
	SavedWebM       float64 `json:"saved_web_m"`
	SavedPressMin   float64 `json:"saved_press_min"`
	SavedWebPercent float64 `json:"saved_web_percent"`
	// By money: each order on the press, web, die and turn that cost it least alone,
	// like runs one after the other.
	Money      *int64 `json:"money,omitempty"`
	SavedMoney *int64 `json:"saved_money,omitempty"`
}

// GroupPart is the orders that may share runs.
type GroupPart struct {
	Group    int        `json:"group"`
	Material string     `json:"material"`
	Die      string     `json:"die,omitempty"`
	Press    string     `json:"press,omitempty"`  // by money
	WebMM    float64    `json:"web_mm,omitempty"` // by money
	LabelMM  [2]float64 `json:"label_mm"`         // across, around, upright; of the widest lane where they differ
	// LabelsMM are the sizes of the labels, each once, where they differ in width.
	LabelsMM     [][2]float64 `json:"labels_mm,omitempty"`
	TurnDeg      int          `json:"turn_deg"`
	TurnsDeg     []int        `json:"turns_deg,omitempty"` // where lanes are turned differently
	Across       int          `json:"across"`              // lanes; of the widest label alone where they differ
	Around       int          `json:"around"`
	RepeatMM     float64      `json:"repeat_mm"`
	RollFrames   int64        `json:"roll_frames,omitempty"` // of a lane for a roll, where rolls are whole
	Inks         []string     `json:"inks"`                  // an ink that hits twice stands twice
	SpeedMPerMin float64      `json:"speed_m_per_min"`
	Orders       int          `json:"orders"`
	Runs         int          `json:"runs"`
	WebM         float64      `json:"web_m"`
	GapPercent   float64      `json:"gap_percent"`
	Proved       bool         `json:"proved"`
	Alone        bool         `json:"alone,omitempty"`
	Printed      bool         `json:"printed,omitempty"` // of printed runs: as it was planned
}
