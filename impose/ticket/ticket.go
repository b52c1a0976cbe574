package ticket

import (
	"io"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/summary"
)

// Schema names the ticket's form, whose JSON Schema (draft 2020-12) is
// schema/ticket.schema.json. Keys may be added, never renamed or given
// another meaning.
const Schema = "quoin/ticket/1"

// Ticket is what slitting, die cutting and rewinding need to know of a job. Keys
// carry their units. Lanes count from the left, seen in travel with the print
// up.
type Ticket struct {
	Schema   string           `json:"schema"`
	Job      string           `json:"job"`
	Material Material         `json:"material"`
	Label    Label            `json:"label"`
	Frame    Frame            `json:"frame"`
	Die      *summary.Die     `json:"die,omitempty"`     // there when the job names one
	Winding  *summary.Winding `json:"winding,omitempty"` // there when the job says it for all products
	Roll     *Roll            `json:"roll,omitempty"`    // there when the job says it
	Flexo    *summary.Flexo   `json:"flexo,omitempty"`   // unit in line, where the job names one
	EyeMark  *EyeMark         `json:"eye_mark,omitempty"`
	Products []Product        `json:"products"`
	Lanes    []Lane           `json:"lanes"`
	Files    []summary.File   `json:"files"`
	Warnings say.Notes        `json:"warnings"`
}

// Material is the web.
type Material struct {
	WidthMM   float64 `json:"width_mm"`
	Name      string  `json:"name,omitempty"`
	Kind      string  `json:"kind,omitempty"`
	CaliperUM float64 `json:"caliper_um,omitempty"` // of what stays after stripping
	Back      bool    `json:"printed_on_back"`
}

// Label is what is cut; where lanes differ in width, the widest label.
type Label struct {
	AcrossMM float64 `json:"across_mm"` // upright
	AroundMM float64 `json:"around_mm"` // upright
	Shape    string  `json:"shape"`
	RadiusMM float64 `json:"radius_mm"` // of a rectangle's corners; 0 where the job leaves it to the die
	TurnDeg  int     `json:"turn_deg"`  // on the web, counter-clockwise
}

// Frame is the printed repeat.
type Frame struct {
	Across      int     `json:"across"`
	Around      int     `json:"around"`
	Pattern     string  `json:"pattern"`
	RepeatMM    float64 `json:"repeat_mm"`
	GapAcrossMM float64 `json:"gap_across_mm"`
	GapAroundMM float64 `json:"gap_around_mm"`
	Frames      int64   `json:"frames"` // good ones
	WebGrossM   float64 `json:"web_gross_m"`
}

// Roll is a finished roll.
type Roll struct {
	Labels     int64   `json:"labels"` // on a full one; 0: not said, or each product says its own
	CoreMM     float64 `json:"core_mm,omitempty"`
	DiameterMM float64 `json:"diameter_mm,omitempty"` // of a full one
	LargestMM  float64 `json:"largest_mm,omitempty"`
	Splices    string  `json:"splices"` // allowed, forbidden or unsaid
}

// EyeMark is what the die station's sensor looks for.
type EyeMark struct {
	AcrossMM float64 `json:"across_mm"`
	AroundMM float64 `json:"around_mm"`
	Ink      string  `json:"ink"`
	Side     string  `json:"side"`
	Every    string  `json:"every"`
	TrackMM  float64 `json:"track_mm"`
}

// Product is what one artwork makes.
type Product struct {
	Artwork   int               `json:"artwork"`
	Name      string            `json:"name"`
	File      string            `json:"file"`
	Page      int               `json:"page"`
	LabelMM   *[2]float64       `json:"label_mm,omitempty"` // across, around, upright; where lanes differ in width
	DrugLabel bool              `json:"drug_label"`
	Winding   *summary.Winding  `json:"winding,omitempty"` // where products differ in it
	Lanes     []int             `json:"lanes"`
	Ordered   int64             `json:"ordered"`
	Labels    int64             `json:"labels"`
	PerRoll   int64             `json:"labels_per_roll,omitempty"` // on a full one; 0: not said
	FullRolls int64             `json:"full_rolls"`                // joined ones included
	Spliced   [][]summary.Piece `json:"spliced"`                   // full rolls joined from rests
	PartRolls []summary.Piece   `json:"part_rolls"`
}

// Lane is one lane.
type Lane struct {
	Lane          int     `json:"lane"`                     // at the press
	FinishingLane int     `json:"finishing_lane,omitempty"` // at the last machine; left out where the windings aren't known
	Artworks      []int   `json:"artworks"`                 // none: blank
	TurnDeg       *int    `json:"turn_deg,omitempty"`       // on the web, counter-clockwise, where lanes differ in it
	LeftMM        float64 `json:"left_mm"`                  // of the trim, from the web's left edge
	RightMM       float64 `json:"right_mm"`
	Labels        int64   `json:"labels"`
	FullRolls     int64   `json:"full_rolls"`
	Rest          int64   `json:"rest"` // labels behind the last full roll
}

// From gathers the ticket from a job and the summary of its imposition.
func From(j *job.Job, s *summary.Summary) *Ticket {
	l := s.Layout
	t := &Ticket{
		Schema: Schema, Job: s.Job,
		Material: Material{l.WebMM, j.Material.Name, j.Material.Kind, float64(j.Material.Caliper) / float64(geometry.Micrometre), j.Mirror},
		Label:    Label{l.LabelMM[0], l.LabelMM[1], string(j.Shape), 0, l.TurnDeg},
		Frame:    Frame{l.Across, l.Around, l.Pattern, l.RepeatMM, l.GapAcrossMM, l.GapAroundMM, s.Run.Frames, s.Run.WebGrossM},
		Die:      s.Die, Winding: s.Winding, Flexo: s.Flexo, Roll: roll(j, s), EyeMark: eyeMark(j.Marks.Eye),
		Products: products(j, s), Lanes: lanes(s),
		Files: s.Files, Warnings: s.Warnings,
	}
	if j.Shape == "" {
		t.Label.Shape = string(geometry.ShapeRectangle)
	}
	if j.Radius != nil {
		t.Label.RadiusMM = j.Radius.MM()
	}
	return t
}

// Write writes the ticket as JSON.
func (t *Ticket) Write(w io.Writer) error {
	return say.JSON(w, t)
}

func roll(j *job.Job, s *summary.Summary) *Roll {
	if j.Roll == (job.Roll{}) && len(s.Rolls) == 0 {
		return nil
	}
	r := &Roll{Labels: j.Roll.Labels, CoreMM: j.Roll.Core.MM(), LargestMM: j.Roll.MaxDiameter.MM(), Splices: "unsaid"}
	for i, x := range s.Rolls {
		if i == 0 {
			r.Labels, r.DiameterMM = x.LabelsPerRoll, x.DiameterMM
		} else if x.LabelsPerRoll != r.Labels {
			r.Labels, r.DiameterMM = 0, 0 // each product says its own
			break
		}
	}
	if may := j.Roll.Splices; may != nil {
		r.Splices = "forbidden"
		if *may {
			r.Splices = "allowed"
		}
	}
	return r
}

func eyeMark(e *job.EyeMark) *EyeMark {
	if e == nil {
		return nil
	}
	return &EyeMark{e.Size.Across.MM(), e.Size.Around.MM(), e.Ink, string(e.Side), string(e.Every), max(e.Track, e.Size.Across).MM()}
}

func products(j *job.Job, s *summary.Summary) []Product {
	list := []Product{}
	for i, a := range s.Artworks {
		p := Product{
			Artwork: a.Artwork, Name: a.Product, File: a.File, Page: a.Page, LabelMM: a.LabelMM, DrugLabel: j.Artworks[i].DrugLabel, Winding: a.Winding,
			Lanes: a.Lanes, Ordered: a.Ordered, Labels: a.Labels, Spliced: [][]summary.Piece{}, PartRolls: []summary.Piece{},
		}
		for _, r := range s.Rolls {
			if r.Artwork == a.Artwork {
				p.PerRoll, p.FullRolls, p.Spliced, p.PartRolls = r.LabelsPerRoll, r.Full, r.Spliced, r.Parts
			}
		}
		list = append(list, p)
	}
	return list
}

func lanes(s *summary.Summary) []Lane {
	list := []Lane{}
	for _, l := range s.Lanes {
		lane := Lane{Lane: l.Lane, FinishingLane: l.FinishingLane, Artworks: []int{}, TurnDeg: l.TurnDeg, LeftMM: l.LeftMM, RightMM: l.RightMM, Labels: l.Labels}
		if l.Artwork > 0 {
			lane.Artworks = []int{l.Artwork}
		}
		lane.Artworks = append(lane.Artworks, l.Artworks...)
		for _, r := range s.Rolls {
			for _, x := range r.Lanes {
				if x.Lane == l.Lane && r.Artwork == l.Artwork {
					lane.FullRolls, lane.Rest = x.Full, x.Rest
				}
			}
		}
		list = append(list, lane)
	}
	return list
}
