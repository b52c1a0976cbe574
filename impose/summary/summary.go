// Package summary is what there is to say about an imposition: the structs
// behind its text and its JSON, and the JSON Schema of that. It is the contract
// between the program and those who read what it made, quoin verify first of
// all. It works nothing out; package impose fills it.
package summary

import "quoin/impose/say"

// Schema names the summary's form; scripts check it. Keys may be added,
// never renamed or given another meaning.
const Schema = "quoin/summary/1"

// Summary is what there is to say about an imposition: one struct for the text
// and the JSON. Keys carry their units; positions across count from the web's
// left edge and around from the frame's leading end.
type Summary struct {
	Schema string `json:"schema"`
	Job    string `json:"job"`
	// House is what the job took from house files, the nearest first.
	House []House `json:"house,omitempty"`
	// Again is there when an old job is printed with new artwork.
	Again  []Again `json:"again,omitempty"`
	Layout Layout  `json:"layout"`
	// Die is there when the job names one.
	Die *Die `json:"die,omitempty"`
	// Winding is there when the job says it and it holds for all artworks; where they
	// differ, each says its own.
	Winding *Winding `json:"winding,omitempty"`
	// Flexo is there when the job names a flexographic unit in line.
	Flexo *Flexo `json:"flexo,omitempty"`
	Run   Usage  `json:"run"`
	// Thousand is there when nothing is ordered: the run is one frame then.
	Thousand *Thousand `json:"thousand_labels,omitempty"`
	// Production is there when the job names a press.
	Production *Production `json:"production,omitempty"`
	Inks       []Ink       `json:"inks"`
	// InkUse is there when the plates were measured, one for each printing ink.
	InkUse   []InkUse  `json:"ink_use,omitempty"`
	Artworks []Artwork `json:"artworks"`
	Lanes    []Lane    `json:"lanes"`
	Rolls    []Roll    `json:"rolls"` // by product; none where the job says no roll
	// Cut is the label's outline, where it is no rectangle.
	Cut      *Cut      `json:"cut,omitempty"`
	Stations []Station `json:"stations"`
	// Seam holds the labels across the frame's seam as they are painted once more
	// at its other end; each is among the stations already.
	Seam     []Station `json:"seam,omitempty"`
	Targets  []Target  `json:"targets"`
	Marks    []Mark    `json:"marks"` // those that were asked for and what was laid of them
	RIP      *RIP      `json:"rip"`
	Written  *Written  `json:"written,omitempty"` // there when a file was written
	Warnings say.Notes `json:"warnings"`
	Notes    say.Notes `json:"notes"` // good to know; nothing to act on
	Files    []File    `json:"files"`
}

// Layout is one frame.
type Layout struct {
	Across        int        `json:"across"`
	Around        int        `json:"around"`
	Labels        int        `json:"labels"`
	TurnDeg       int        `json:"turn_deg"`
	SecondSurface bool       `json:"second_surface"`         // all is mirrored across, and read through the film
	Pattern       string     `json:"pattern"`                // straight, interlocked, staggered, alternating, sheared or paired
	LabelMM       [2]float64 `json:"label_mm"`               // across, around, upright; the widest where lanes differ
	LanesDiffer   bool       `json:"lanes_differ,omitempty"` // lanes are of different widths: artworks say their labels
	WebMM         float64    `json:"web_mm"`
	BandMM        float64    `json:"band_mm"`
	RepeatMM      float64    `json:"repeat_mm"`
	Cylinder      string     `json:"cylinder,omitempty"`
	GapAcrossMM   float64    `json:"gap_across_mm"`
	GapAroundMM   float64    `json:"gap_around_mm"`
	BleedMM       float64    `json:"bleed_mm"`
	BleedAcrossMM float64    `json:"bleed_across_mm"` // what the gaps leave between lanes
	BleedAroundMM float64    `json:"bleed_around_mm"` // what the gaps leave between rows
	LabelPercent  float64    `json:"label_percent"`
	MatrixPercent float64    `json:"matrix_percent"`
	EdgePercent   float64    `json:"edge_percent"`
	TailPercent   float64    `json:"tail_percent"`
}

// Usage is what the order takes. The accounts from ordered_percent to
// make_ready_percent add to 100 % of the gross web.
type Usage struct {
	Ordered          int64   `json:"ordered"`
	Labels           int64   `json:"labels"`
	Overs            int64   `json:"overs"`
	Trimmed          int64   `json:"trimmed,omitempty"`            // at the ends of rolls, of which each begins with a new repeat
	ChangeOvers      int64   `json:"change_over_labels,omitempty"` // between rolls of variable data; nobody's product
	ChangeOverM      float64 `json:"change_over_m,omitempty"`      // of web that they take of each lane
	Frames           int64   `json:"frames"`
	WebNetM          float64 `json:"web_net_m"`
	WebGrossM        float64 `json:"web_gross_m"`
	SetupM           float64 `json:"setup_m"`
	SpeedMPerMin     float64 `json:"speed_m_per_min"`
	PressMin         float64 `json:"press_min"` // 0, null in JSON: not known
	PrintingInks     int     `json:"printing_inks"`
	YieldPercent     float64 `json:"yield_percent"`
	OversPercent     float64 `json:"overs_percent"`
	MatrixPercent    float64 `json:"matrix_percent"`
	EdgePercent      float64 `json:"edge_percent"`
	TailPercent      float64 `json:"tail_percent"`
	RunWastePercent  float64 `json:"run_waste_percent"`
	MakeReadyPercent float64 `json:"make_ready_percent"`
}

// Thousand is what 1,000 labels take on this frame, without make-ready and run
// waste.
type Thousand struct {
	WebM     float64 `json:"web_m"`
	WebM2    float64 `json:"web_m2"`
	PressMin float64 `json:"press_min"` // 0: no speed is known
}

// Ink is one ink of the job.
type Ink struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
	Idle bool   `json:"idle,omitempty"` // a RIP makes a plate of it, and nothing prints in it
}

// Artwork is one product.
type Artwork struct {
	Artwork int    `json:"artwork"` // first is 1; what lanes and stations name
	File    string `json:"file"`    // as the job names it
	Path    string `json:"path"`    // seen from the folder that the job was run in; of a night, from the night's own
	Page    int    `json:"page"`
	Product string `json:"product,omitempty"`
	// PermittedBy is who gave leave to place a file whose permissions forbid it.
	PermittedBy string `json:"permitted_by,omitempty"`
	// LabelMM is its label, across, around, upright, where lanes differ in width.
	LabelMM *[2]float64 `json:"label_mm,omitempty"`
	// Winding is how its rolls pay out, where the artworks differ in that.
	Winding *Winding `json:"winding,omitempty"`
	Lanes   []int    `json:"lanes"`
	Ordered int64    `json:"ordered"`
	Labels  int64    `json:"labels"`
	Overs   int64    `json:"overs"`
	Trimmed int64    `json:"trimmed,omitempty"` // labels that come off with the ends of rolls
}

// Lane is one lane.
type Lane struct {
	Lane int `json:"lane"`
	// FinishingLane is the lane's number at the last machine, from the left as
	// there seen in travel with the print up; 0 where the windings aren't known.
	FinishingLane int     `json:"finishing_lane,omitempty"`
	Artwork       int     `json:"artwork"`            // 0: blank, or several
	Artworks      []int   `json:"artworks,omitempty"` // of a lane that carries several
	TurnDeg       *int    `json:"turn_deg,omitempty"` // of its labels, where lanes are turned differently
	LeftMM        float64 `json:"left_mm"`            // of the trim
	RightMM       float64 `json:"right_mm"`
	Labels        int64   `json:"labels"` // in the whole run
}

// Station is one place where a label stands. TrimPt is the label's trim in
// points of the written page: left, bottom, right, top. ClipPt adds the bleed
// that there is room for; where the clip follows the outline, it is the box
// around it.
type Station struct {
	Lane    int        `json:"lane"`
	Row     int        `json:"row"`
	TurnDeg int        `json:"turn_deg"`
	Artwork string     `json:"artwork"`
	Page    int        `json:"page"`
	TrimPt  [4]float64 `json:"trim_pt"`
	ClipPt  [4]float64 `json:"clip_pt"`
	// ClipShape is "outline" where the clip follows the label's outline.
	ClipShape string `json:"clip_shape,omitempty"`
	ClipPath  *Path  `json:"clip_path,omitempty"` // of such a clip
}

// RIP is what the frame costs the machine that makes plates or pixels of it.
type RIP struct {
	Forms        int   `json:"forms"`         // different ones of the artworks
	AboutBytes   int64 `json:"about_bytes"`   // of the file: the artworks', and content that stands in it again
	ArtworkBytes int64 `json:"artwork_bytes"` // of the files
	PaintsLabels int   `json:"paints_labels"` // how often a label is painted, under white again and again
}

// Mark is a kind of mark that was asked for.
type Mark struct {
	What string `json:"what"` // register, eye, slit, centre, trim, lane-number or slug
	Laid int    `json:"laid"`
	Of   int    `json:"of"` // places that it was asked for
	// Beside is set for lane numbers that stand between lanes and point at them.
	Beside bool `json:"beside,omitempty"`
}

// Target tells an instrument where to look.
type Target struct {
	Number int        `json:"number"`
	What   string     `json:"what"` // paper, solid, tint, grey, overprint or bare
	Inks   []Tint     `json:"inks"`
	Side   string     `json:"side"`           // margin lane: left or right; matrix between lanes
	Lane   int        `json:"lane,omitempty"` // whose own patch it is, in the matrix
	BoxMM  [4]float64 `json:"box_mm"`
	BoxPt  [4]float64 `json:"box_pt"`
}

// Tint is an amount of one ink.
type Tint struct {
	Ink         string  `json:"ink"`
	TintPercent float64 `json:"tint_percent"`
}

// File is a file that was read or written.
type File struct {
	Role   string `json:"role"` // artwork, press file, output, ...
	Path   string `json:"path"`
	SHA256 string `json:"sha256"`
}
