package fit

import (
	"strings"

	"quoin/geometry"
	"quoin/impose/job"
)

// Schema names the report's form; scripts check it. Keys may be added, never
// renamed or given another meaning.
const Schema = "quoin/fit/1"

// Report is what there is to say: one struct for the text and the JSON. Without
// an order, web and minutes are those of 1,000 labels, with no make-ready.
type Report struct {
	Schema   string            `json:"schema"`
	LabelMM  [2]float64        `json:"label_mm"` // across, around, upright
	Quantity int64             `json:"quantity"` // ordered labels; 0: none are ordered yet
	Currency string            `json:"currency,omitempty"`
	Dies     *DieCount         `json:"dies,omitempty"`     // of the die room, where there is one
	Warnings []geometry.Reason `json:"warnings,omitempty"` // about the artworks
	Notes    []geometry.Reason `json:"notes,omitempty"`    // about the drawing of the outline
	Layouts  []Layout          `json:"layouts"`            // best first
	Tools    []Layout          `json:"tools"`              // new full-rotary tools, best first
	Flat     []Layout          `json:"flat_tools"`         // new semi-rotary and flat-bed tools, best first
	Webs     []Layout          `json:"webs"`               // the webs in stock with straight layouts, best first
	Least    []Least           `json:"least,omitempty"`    // the least web that each kind of tool costs
	Nested   []Nested          `json:"nested,omitempty"`   // closer layouts of a shaped label, best first
}

// DieCount counts a die room.
type DieCount struct {
	Total int `json:"total"`
	Fit   int `json:"fit"`
	Near  int `json:"near"` // misses by a little
}

// Layout is one way to run the order.
type Layout struct {
	Die           string            `json:"die"` // its number; empty where there is no die yet
	Fits          bool              `json:"fits"`
	Near          bool              `json:"near"` // doesn't fit, but a small change of the label or another turn would do
	TurnDeg       int               `json:"turn_deg"`
	Across        int               `json:"across"`
	Around        int               `json:"around"`
	Labels        int               `json:"labels"`
	WebMM         float64           `json:"web_mm"`
	LeastWebMM    float64           `json:"least_web_mm"` // the narrowest that would do
	RepeatMM      float64           `json:"repeat_mm"`
	GapAcrossMM   float64           `json:"gap_across_mm"`
	GapAroundMM   float64           `json:"gap_around_mm"`
	LabelPercent  float64           `json:"label_percent"` // of the net web
	MatrixPercent float64           `json:"matrix_percent"`
	EdgePercent   float64           `json:"edge_percent"`
	TailPercent   float64           `json:"tail_percent"`
	Frames        int64             `json:"frames"`
	WebNetM       float64           `json:"web_net_m"`
	WebGrossM     float64           `json:"web_gross_m"`
	WebM2         float64           `json:"web_m2"` // gross
	PressMin      float64           `json:"press_min"`
	YieldPercent  float64           `json:"yield_percent"`  // ordered labels of the gross web
	Cost          float64           `json:"cost,omitempty"` // where prices are known
	Size          string            `json:"size"`           // of the die's labels, as it stands on the web
	Station       string            `json:"station,omitempty"`
	Cylinder      string            `json:"cylinder,omitempty"`
	TurnsPerFrame int               `json:"turns_per_frame,omitempty"`   // of a full-rotary die
	Strokes       int               `json:"strokes_per_frame,omitempty"` // of a tool that cuts in strokes
	WalkMM        float64           `json:"walk_mm"`                     // by which a full-rotary die drifts from the print with every frame
	Place         string            `json:"place,omitempty"`             // where the die is kept
	Condition     string            `json:"condition,omitempty"`
	Reasons       []geometry.Reason `json:"reasons"`
	Warnings      []geometry.Reason `json:"warnings"`
}

// perThousand is what is assumed while nothing is ordered.
const perThousand = 1000

// layout says what a fit comes to.
func (q *Question) layout(f *geometry.Fit) (Layout, error) {
	d := f.Die
	l := Layout{
		Die: d.Number, Fits: f.Fits, Near: f.Near, TurnDeg: f.Turn.Degrees(),
		Across: f.Across, Around: f.Around, Labels: f.Labels(),
		WebMM: f.Web.Width.MM(), LeastWebMM: f.Least.MM(), RepeatMM: f.Repeat.MM(),
		GapAcrossMM: f.Gap.Across.MM(), GapAroundMM: f.Gap.Around.MM(),
		LabelPercent: f.Split.Label, MatrixPercent: f.Split.Matrix, EdgePercent: f.Split.Edge, TailPercent: f.Split.Tail,
		Size: d.Size.String(), Station: string(d.Station), Place: d.Place, Condition: string(d.Condition),
		Reasons: append([]geometry.Reason{}, f.Reasons()...), Warnings: append([]geometry.Reason{}, f.Warnings...),
	}
	if d.Cylinder.Teeth > 0 {
		l.Cylinder = d.Cylinder.String()
	}
	l.Strokes = f.Strokes
	if f.Across == 0 { // a die of another size: its own grid is all there is to say
		l.Across, l.Around = d.Lanes, d.Rows
	}
	if d.Station == geometry.FullRotary && f.Repeat > 0 {
		n, walk := geometry.Walk(f.Repeat, d.Advance())
		l.TurnsPerFrame, l.WalkMM = n, walk.MM()
	}
	switch {
	case !f.Fits && !f.Near:
	case f.Run != nil:
		l.run(f.Run)
		cost, err := q.price(f, f.Run)
		if err != nil {
			return l, err
		}
		l.Cost = cost
	default:
		l.thousand(q.Wish.Terms.Speed)
	}
	return l, nil
}

// run fills in what the order takes.
func (l *Layout) run(r *geometry.Usage) {
	l.Frames, l.WebNetM, l.WebGrossM = r.Frames, r.Net.Metres(), r.Gross.Metres()
	l.WebM2, l.PressMin, l.YieldPercent = l.WebMM/1000*l.WebGrossM, r.Minutes, r.Yield
}

// thousand fills in what 1,000 labels take, with no make-ready.
func (l *Layout) thousand(speed geometry.Length) {
	l.WebNetM = perThousand * l.RepeatMM / 1000 / float64(l.Labels)
	l.WebGrossM, l.WebM2, l.YieldPercent = l.WebNetM, l.WebMM/1000*l.WebNetM, l.LabelPercent
	if speed > 0 {
		l.PressMin = l.WebNetM / speed.Metres()
	}
}

// Best returns the layout that serves best; nil when nothing fits.
func (r *Report) Best() *Layout {
	if len(r.Layouts) == 0 || !r.Layouts[0].Fits {
		return nil
	}
	return &r.Layouts[0]
}

// Err says that nothing fits, and is nil when something does.
func (r *Report) Err() error {
	if r.Best() != nil {
		return nil
	}
	if r.Dies == nil {
		return &geometry.NotFitError{Reasons: r.Layouts[0].Reasons}
	}
	if len(r.Layouts) == 0 {
		return &geometry.NotFitError{Reasons: []geometry.Reason{{Code: codeNoDie, Text: "the die library holds no die"}}}
	}
	near := r.Layouts[0]
	why := geometry.Reason{Code: codeNoDie, Text: "no die of the library suits", Nearest: "--all lists what is wrong with each"}
	if len(near.Reasons) > 0 {
		why.Text += "; the nearest is " + near.Die + ": " + near.Reasons[0].Text
	}
	return &geometry.NotFitError{Reasons: []geometry.Reason{why}}
}

// LabelSize returns the size across and around, in mm, of a label as it stands on
// the layout's web: that of its die, or else of the job's label.
func (l *Layout) LabelSize(j *job.Job) (across, around float64) {
	if l.Die != "" && j.Dies != nil {
		if d := j.Dies.Find(l.Die); d != nil {
			return d.Size.Across.MM(), d.Size.Around.MM()
		}
	}
	size, err := geometry.ParseSize(strings.ReplaceAll(l.Size, " ", ""))
	if err != nil {
		return 0, 0
	}
	return size.Across.MM(), size.Around.MM()
}
