package impose

import (
	"fmt"
	"slices"
	"strings"

	"quoin/geometry"
)

// RollPart says which finished rolls one product makes. Rests of its lanes are
// joined only where the job allows splices in so many words.
type RollPart struct {
	Artwork       int            `json:"artwork"`
	LabelsPerRoll int64          `json:"labels_per_roll"`
	WebM          float64        `json:"web_m"`                 // on a full roll
	CoreMM        float64        `json:"core_mm,omitempty"`     // outer diameter; 0: unknown
	DiameterMM    float64        `json:"diameter_mm,omitempty"` // of a full roll; 0: core or caliper unknown
	Ordered       int64          `json:"ordered_rolls"`         // that the order takes, the last perhaps not full
	Full          int64          `json:"full_rolls"`            // joined ones included
	Splices       int            `json:"splices"`
	Lanes         []LaneRollPart `json:"lanes"`
	Mixed         []int          `json:"mixed_lanes,omitempty"` // that others share: their labels are sorted first and counted in no roll
	Spliced       [][]PiecePart  `json:"spliced"`               // full rolls joined from rests
	Parts         []PiecePart    `json:"part_rolls"`
}

// LaneRollPart is what one lane gives.
type LaneRollPart struct {
	Lane   int   `json:"lane"`
	Labels int64 `json:"labels"`
	Full   int64 `json:"full_rolls"`
	Rest   int64 `json:"rest"` // labels behind the last full roll
}

// PiecePart is a stretch of labels from one lane.
type PiecePart struct {
	Lane   int   `json:"lane"`
	Labels int64 `json:"labels"`
}

// rollRule gives what the job says of an artwork's finished rolls.
func (im *Imposition) rollRule(artwork int) geometry.RollRule {
	r := im.Job.Roll
	rule := geometry.RollRule{
		Roll:   geometry.Roll{Core: r.Core, Caliper: im.Job.Material.Caliper},
		Labels: im.Job.LabelsPerRoll(artwork), Largest: r.MaxDiameter,
	}
	if r.Splices != nil && *r.Splices {
		rule.Splices = im.Layout.Across
	}
	return rule
}

// labelsPerRoll sets how many labels a finished roll of each artwork holds, and
// warns of what contradicts itself, once for artworks with rolls alike.
func (im *Imposition) labelsPerRoll() error {
	im.perRoll = make([]int64, len(im.Job.Artworks))
	if im.Job.MostPerRoll() == 0 && im.Job.Roll.MaxDiameter == 0 {
		return nil
	}
	if !im.straight() {
		im.warn("rolls", "finished rolls are not counted: no straight slit parts the lanes")
		return nil
	}
	if rule := im.rollRule(0); rule.Largest > 0 && rule.Check() != nil {
		missing := "the material's caliper"
		if rule.Core == 0 {
			missing = "the core's outer diameter"
		}
		im.warn("roll-diameter", "rolls of at most %s can't be checked: %s is not said", rule.Largest, missing)
		for i := range im.perRoll {
			im.perRoll[i] = im.Job.LabelsPerRoll(i)
		}
		return nil
	}
	warned := map[int64]bool{}
	for i := range im.perRoll {
		rule := im.rollRule(i)
		if rule.Labels == 0 && rule.Largest == 0 {
			continue
		}
		n, err := rule.LabelsPerRoll(im.rowPitch())
		if err != nil {
			if rule.Labels == 0 {
				return &LaneError{err.Error(), "allow larger rolls, or a smaller core"}
			}
			if n = rule.Labels; !warned[n] {
				im.warn("roll-diameter", "%v", err)
			}
			warned[n] = true
		}
		im.perRoll[i] = n
	}
	return nil
}

// rowPitch gives the web that one label of a lane takes; where lanes have
// different rows, those of the fullest.
func (im *Imposition) rowPitch() geometry.Length {
	rows := make([]geometry.Length, im.Layout.Across+1)
	for _, s := range im.Layout.Station {
		rows[s.Lane]++
	}
	return im.Layout.Repeat / slices.Max(rows)
}

// rollParts cuts the lanes of each product into rolls.
func (im *Imposition) rollParts(lanes []LanePart) ([]RollPart, error) {
	parts := []RollPart{}
	for i, a := range im.Job.Artworks {
		each := im.perRoll[i]
		if each == 0 {
			continue
		}
		rule := im.rollRule(i)
		web := geometry.Length(each) * im.rowPitch()
		var pieces []geometry.Piece
		var mixed []int
		for _, l := range lanes {
			if l.Artwork == i+1 {
				pieces = append(pieces, geometry.Piece{Lane: l.Lane, Labels: l.Labels})
			} else if slices.Contains(l.Artworks, i+1) {
				mixed = append(mixed, l.Lane)
			}
		}
		count, err := geometry.CountRolls(pieces, each, rule.Splices)
		if err != nil {
			return nil, fmt.Errorf("the rolls of %s: %w", a.File, err)
		}
		if im.Job.Roll.NewRepeat {
			count.Parts = nil
		}
		p := RollPart{
			Artwork: i + 1, LabelsPerRoll: each, WebM: web.Metres(), CoreMM: rule.Core.MM(),
			Ordered: geometry.RollsFor(a.Quantity, each), Full: count.Rolls(), Splices: count.Splices(),
			Lanes: []LaneRollPart{}, Mixed: mixed, Spliced: [][]PiecePart{}, Parts: pieceParts(count.Parts),
		}
		if rule.Check() == nil {
			p.DiameterMM = rule.Diameter(web).MM()
		}
		for _, l := range count.Lanes {
			p.Lanes = append(p.Lanes, LaneRollPart{l.Lane, l.Labels, l.Full, l.Rest})
		}
		for _, roll := range count.Spliced {
			p.Spliced = append(p.Spliced, pieceParts(roll))
		}
		parts = append(parts, p)
	}
	return parts, nil
}

func pieceParts(pieces []geometry.Piece) []PiecePart {
	parts := make([]PiecePart, len(pieces))
	for i, p := range pieces {
		parts[i] = PiecePart{p.Lane, p.Labels}
	}
	return parts
}

// row prints the rolls of one product.
func (p *RollPart) row() string {
	text := fmt.Sprintf("product %d: %s labels on %.1f m", p.Artwork, thousands(p.LabelsPerRoll), p.WebM)
	if p.DiameterMM > 0 {
		text += fmt.Sprintf(", %.1f mm on a core of %s mm", p.DiameterMM, digits(p.CoreMM))
	}
	text += fmt.Sprintf("; %s ordered", thousands(p.Ordered))
	if len(p.Mixed) > 0 {
		text += fmt.Sprintf(", not counted in lane %s before its labels are sorted", laneList(p.Mixed))
		if len(p.Lanes) == 0 {
			return text
		}
	}
	text += fmt.Sprintf(", %s full", thousands(p.Full))
	if p.Splices > 0 {
		text += fmt.Sprintf(" with %s", plural(p.Splices, "splice"))
	}
	if len(p.Parts) > 0 {
		rests := make([]string, len(p.Parts))
		for i, part := range p.Parts {
			rests[i] = fmt.Sprintf("%s (lane %d)", thousands(part.Labels), part.Lane)
		}
		text += ", part rolls of " + strings.Join(rests, ", ")
	}
	return text
}
