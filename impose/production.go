package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/job"
)

// ProductionPart says what the run asks of the press room beside the web's
// length. Every part that the press file says nothing of is left out.
type ProductionPart struct {
	MaterialM2  float64          `json:"material_m2"`
	MasterRolls int64            `json:"master_rolls,omitempty"`
	RollChanges int64            `json:"roll_changes,omitempty"`
	NonStop     bool             `json:"non_stop"`
	ChangeMin   float64          `json:"change_min"` // that the web stands for roll changes
	SavedMin    float64          `json:"saved_min"`  // that a non-stop unwinder saves
	PressMin    float64          `json:"press_with_changes_min"`
	FinishMin   float64          `json:"finish_min"`       // at the finishing line
	FinishSpeed float64          `json:"finish_m_per_min"` // its speed
	SlowestStep string           `json:"slowest_step,omitempty"`
	Consumables []ConsumablePart `json:"consumables"`
	Cost        *CostPart        `json:"cost,omitempty"`
	Splices     bool             `json:"splices_allowed"`
}

// ConsumablePart is the run's share of a part that wears.
type ConsumablePart struct {
	Name         string  `json:"name"`
	SharePercent float64 `json:"share_percent"`
	Cost         float64 `json:"cost,omitempty"`
}

// CostPart is what the run costs, in one currency.
type CostPart struct {
	Currency    string  `json:"currency"`
	Material    float64 `json:"material"`
	Press       float64 `json:"press"`
	Finishing   float64 `json:"finishing"`
	Setup       float64 `json:"setup"`
	Consumables float64 `json:"consumables"`
	Total       float64 `json:"total"`
	PerThousand float64 `json:"per_thousand"` // ordered labels
}

// production works out what the press file lets one say; nil without one.
func (im *Imposition) production(run *geometry.Run, terms geometry.Terms) (*ProductionPart, error) {
	if im.Job.Press == nil {
		return nil, nil
	}
	l := im.Layout
	return Produce(im.Job, l.Web.Width, l.Repeat/geometry.Length(l.Around), run, terms)
}

// Produce works out what a run of the job asks on a web of the width, with so
// much web around for each row. The job has a press.
func Produce(j *job.Job, width, pitch geometry.Length, run *geometry.Run, terms geometry.Terms) (*ProductionPart, error) {
	press := j.Press
	p := &ProductionPart{
		MaterialM2: width.Metres() * run.Gross.Metres(),
		NonStop:    press.Unwinder.NonStop, PressMin: run.Minutes, Consumables: []ConsumablePart{},
		Splices: j.Roll.MaySplice(),
	}
	if err := p.unwind(press, run, terms, pitch*geometry.Length(j.MostPerRoll())); err != nil {
		return nil, err
	}
	p.finish(press, run)
	for _, c := range press.Consumables {
		share := float64(run.Gross) / float64(c.Life)
		p.Consumables = append(p.Consumables, ConsumablePart{c.Name, 100 * share, share * c.Price})
	}
	if press.Prices != nil {
		p.cost(press.Prices, run.Ordered)
	}
	return p, nil
}

// unwind counts master rolls and what their changes cost.
func (p *ProductionPart) unwind(press *job.Press, run *geometry.Run, terms geometry.Terms, finished geometry.Length) error {
	u := press.Unwinder
	if u.MasterRoll == 0 {
		// Without the rolls' length only the rule of thumb is left.
		p.stand(u, run.Minutes*u.SavedPerHour/60)
		return nil
	}
	rolls, err := run.MasterRolls(terms, u.MasterRoll, finished, p.Splices)
	if err != nil {
		return fmt.Errorf("unwinding: %w", err)
	}
	p.MasterRolls, p.RollChanges = rolls, rolls-1
	p.stand(u, float64(rolls-1)*u.RollChange)
	return nil
}

// stand books the minutes that roll changes take, or that non-stop saves.
func (p *ProductionPart) stand(u job.Unwinder, minutes float64) {
	if u.NonStop {
		p.SavedMin = minutes
		return
	}
	p.ChangeMin = minutes
	p.PressMin += minutes
}

// finish works out the finishing line's time and which step is slower.
func (p *ProductionPart) finish(press *job.Press, run *geometry.Run) {
	speed := press.Finishing.DieCutting
	if speed == 0 {
		return
	}
	p.FinishSpeed = speed.Metres()
	p.FinishMin = float64(run.Gross)/float64(speed) + press.Finishing.SetupMin
	p.SlowestStep = "press"
	if p.FinishMin > p.PressMin {
		p.SlowestStep = "finishing"
	}
}

func (p *ProductionPart) cost(prices *job.Prices, ordered int64) {
	c := &CostPart{
		Currency: prices.Currency,
		Material: p.MaterialM2 * prices.WebPerM2,
		Press:    p.PressMin / 60 * prices.PressPerHour, Finishing: p.FinishMin / 60 * prices.FinishPerHour,
		Setup: prices.PerSetup,
	}
	for _, k := range p.Consumables {
		c.Consumables += k.Cost
	}
	c.Total = c.Material + c.Press + c.Finishing + c.Setup + c.Consumables
	c.PerThousand = 1000 * c.Total / float64(ordered)
	p.Cost = c
}
