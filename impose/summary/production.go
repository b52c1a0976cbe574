package summary

import (
	"encoding/json"
	"fmt"
	"strings"

	"quoin/impose/say"
)

// Production says what the run asks of the press room beside the web's
// length. Every part that the press file says nothing of is left out.
type Production struct {
	MaterialM2  float64      `json:"material_m2"`
	MasterRolls int64        `json:"master_rolls,omitempty"`
	RollChanges int64        `json:"roll_changes,omitempty"`
	NonStop     bool         `json:"non_stop"`
	ChangeMin   float64      `json:"change_min"` // that the web stands for roll changes
	SavedMin    float64      `json:"saved_min"`  // that a non-stop unwinder saves
	PressMin    float64      `json:"press_with_changes_min"`
	FinishMin   float64      `json:"finish_min"`       // at the finishing line
	FinishSpeed float64      `json:"finish_m_per_min"` // its speed
	SlowestStep string       `json:"slowest_step,omitempty"`
	Consumables []Consumable `json:"consumables"`
	Cost        *Cost        `json:"cost,omitempty"`
	Splices     *bool        `json:"splices_allowed"` // nil: nobody said
}

// MarshalJSON writes minutes that aren't known as null: none are 0.
func (p Production) MarshalJSON() ([]byte, error) {
	type plain Production
	return json.Marshal(struct {
		plain
		PressMin  *float64 `json:"press_with_changes_min"`
		FinishMin *float64 `json:"finish_min"`
	}{plain(p), known(p.PressMin), known(p.FinishMin)})
}

// MarshalJSON writes minutes that aren't known as null: none are 0.
func (r Usage) MarshalJSON() ([]byte, error) {
	type plain Usage
	return json.Marshal(struct {
		plain
		PressMin *float64 `json:"press_min"`
	}{plain(r), known(r.PressMin)})
}

func known(minutes float64) *float64 {
	if minutes > 0 {
		return &minutes
	}
	return nil
}

// Consumable is the run's share of a part that wears.
type Consumable struct {
	Name         string  `json:"name"`
	SharePercent float64 `json:"share_percent"`
	Cost         float64 `json:"cost,omitempty"`
}

// Cost is what the run costs, in one currency.
type Cost struct {
	Currency    string  `json:"currency"`
	Material    float64 `json:"material"`
	Press       float64 `json:"press"`
	Finishing   float64 `json:"finishing"`
	Setup       float64 `json:"setup"`
	Consumables float64 `json:"consumables"`
	Ink         float64 `json:"ink,omitempty"` // where its use and its price are known
	Total       float64 `json:"total"`
	PerThousand float64 `json:"per_thousand"` // ordered labels
}

// rows prints the production for a person.
func (p *Production) rows(row func(name, text string, args ...any)) {
	material := say.Fixed(p.MaterialM2, 1) + " m2 of web"
	if p.MasterRolls > 0 {
		material += ", " + say.Count(p.MasterRolls, "master roll")
		if p.Splices != nil && !*p.Splices {
			material += " without splices in the finished rolls"
		}
	}
	row("Material", "%s", material)
	if p.RollChanges > 0 || p.ChangeMin > 0 || p.SavedMin > 0 {
		row("Unwinder", "%s", p.unwinder())
	}
	if p.FinishMin > 0 {
		row("Finishing", "%s min at %s m/min; the slower step is %s", say.Fixed(p.FinishMin, 1), say.Digits(p.FinishSpeed), p.SlowestStep)
	}
	if len(p.Consumables) > 0 {
		parts := make([]string, len(p.Consumables))
		for i, c := range p.Consumables {
			parts[i] = fmt.Sprintf("%s %s %%", c.Name, say.Fixed(c.SharePercent, 2))
		}
		row("Wear", "%s of their life", strings.Join(parts, ", "))
	}
	if c := p.Cost; c != nil {
		ink := say.Where(c.Ink > 0, ", ink %s", say.Fixed(c.Ink, 2))
		row("Cost", "%s %s: material %s, press %s, finishing %s, set-up %s, wear %s%s; %s a thousand labels",
			say.Fixed(c.Total, 2), c.Currency, say.Fixed(c.Material, 2), say.Fixed(c.Press, 2), say.Fixed(c.Finishing, 2),
			say.Fixed(c.Setup, 2), say.Fixed(c.Consumables, 2), ink, say.Fixed(c.PerThousand, 2))
	}
}

func (p *Production) unwinder() string {
	changes := say.Count(p.RollChanges, "roll change")
	if p.NonStop {
		return fmt.Sprintf("%s without a stop, saving %s min", changes, say.Fixed(p.SavedMin, 1))
	}
	return fmt.Sprintf("%s, the web stands %s min", changes, say.Fixed(p.ChangeMin, 1))
}
