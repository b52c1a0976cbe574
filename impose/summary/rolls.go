package summary

import (
	"fmt"
	"strings"

	"quoin/impose/say"
)

// Roll says which finished rolls one product makes. Rests of its lanes are
// joined only where the job allows splices in so many words.
type Roll struct {
	Artwork       int        `json:"artwork"`
	LabelsPerRoll int64      `json:"labels_per_roll"`
	WebM          float64    `json:"web_m"`                 // on a full roll
	CoreMM        float64    `json:"core_mm,omitempty"`     // outer diameter; 0: unknown
	DiameterMM    float64    `json:"diameter_mm,omitempty"` // of a full roll; 0: core or caliper unknown
	Ordered       int64      `json:"ordered_rolls"`         // that the order takes, the last perhaps not full
	Full          int64      `json:"full_rolls"`            // joined ones included
	Splices       int        `json:"splices"`
	ChangeOver    int64      `json:"change_over_labels,omitempty"` // between two rolls of a lane
	Lanes         []LaneRoll `json:"lanes"`
	Mixed         []int      `json:"mixed_lanes,omitempty"` // that others share: their labels are sorted first and counted in no roll
	Spliced       [][]Piece  `json:"spliced"`               // full rolls joined from rests
	Parts         []Piece    `json:"part_rolls"`
}

// LaneRoll is what one lane gives.
type LaneRoll struct {
	Lane   int   `json:"lane"`
	Labels int64 `json:"labels"`
	Full   int64 `json:"full_rolls"`
	Rest   int64 `json:"rest"` // labels behind the last full roll
}

// Piece is a stretch of labels from one lane.
type Piece struct {
	Lane   int   `json:"lane"`
	Labels int64 `json:"labels"`
}

// row prints the rolls of one product.
func (p *Roll) row() string {
	text := fmt.Sprintf("product %d: %s on %s m", p.Artwork, say.Count(p.LabelsPerRoll, "label"), say.Fixed(p.WebM, 1))
	if p.DiameterMM > 0 {
		text += fmt.Sprintf(", %s mm on a core of %s", say.Fixed(p.DiameterMM, 1), say.MM(p.CoreMM))
	}
	text += fmt.Sprintf("; %s ordered", say.Number(p.Ordered))
	if len(p.Mixed) > 0 {
		text += fmt.Sprintf(", not counted in %s before the labels are sorted", lanes(p.Mixed))
		if len(p.Lanes) == 0 {
			return text
		}
	}
	text += fmt.Sprintf(", %s full", say.Number(p.Full))
	if p.Splices > 0 {
		text += " with " + say.Count(p.Splices, "splice")
	}
	if len(p.Parts) > 0 {
		rests := make([]string, len(p.Parts))
		for i, part := range p.Parts {
			rests[i] = fmt.Sprintf("%s (lane %d)", say.Number(part.Labels), part.Lane)
		}
		text += ", part rolls of " + strings.Join(rests, ", ")
	}
	return text
}
