package impose

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/job"
	"quoin/impose/summary"
)

// sumProduction says what the press file lets one say; nil without one,
// and for a frame that is no run yet.
func sumProduction(p *Planned, run *geometry.Usage, terms geometry.Terms) (*summary.Production, error) {
	if p.Job.Press == nil || !job.Ordered(p.Job) {
		return nil, nil
	}
	l := p.Layout
	return Produce(p.Job, l.Web.Width, l.Repeat/geometry.Length(l.Around), run, terms)
}

// Produce works out what a run of the job asks of the press room on a web of the
// width, with so much web around for each row. The job has a press.
func Produce(j *job.Job, width, pitch geometry.Length, run *geometry.Usage, terms geometry.Terms) (*summary.Production, error) {
	press := j.Press
	p := &summary.Production{
		MaterialM2: width.Metres() * run.Gross.Metres(),
		NonStop:    press.Unwinder.NonStop, PressMin: run.Minutes, Consumables: []summary.Consumable{},
		Splices: j.Roll.Splices,
	}
	// What roll changes take is known from the master rolls' length; without it,
	// only the rule of thumb is left.
	changing := run.Minutes * press.Unwinder.SavedPerHour / 60
	if master := press.Unwinder.MasterRoll; master > 0 {
		rolls, err := run.MasterRolls(terms, master, pitch*geometry.Length(job.MostOnRoll(j)), j.Roll.MaySplice())
		if err != nil {
			return nil, fmt.Errorf("unwinding: %w", err)
		}
		p.MasterRolls, p.RollChanges = rolls, rolls-1
		changing = float64(rolls-1) * press.Unwinder.RollChange
	}
	if p.NonStop {
		p.SavedMin = changing
	} else {
		p.ChangeMin = changing
		p.PressMin += changing
	}
	if speed := press.Finishing.DieCutting; speed > 0 {
		p.FinishSpeed = speed.Metres()
		p.FinishMin = float64(run.Gross)/float64(speed) + press.Finishing.SetupMin
		p.SlowestStep = "press"
		if p.FinishMin > p.PressMin {
			p.SlowestStep = "finishing"
		}
	}
	for _, c := range press.Consumables {
		share := float64(run.Gross) / float64(c.Life)
		p.Consumables = append(p.Consumables, summary.Consumable{Name: c.Name, SharePercent: 100 * share, Cost: share * c.Price})
	}
	// A run of unknown minutes has no price where they cost something.
	if prices := press.Prices; prices != nil && (run.Minutes > 0 || prices.PressPerHour == 0) {
		p.Cost = costOf(p, press.Prices, prices.Web(j.Material.Kind), run.Ordered)
	}
	return p, nil
}

// costOf prices a run's production on web at so much for a square metre.
func costOf(p *summary.Production, prices *job.Prices, perM2 float64, ordered int64) *summary.Cost {
	c := &summary.Cost{
		Currency: prices.Currency,
		Material: p.MaterialM2 * perM2,
		Press:    p.PressMin / 60 * prices.PressPerHour, Finishing: p.FinishMin / 60 * prices.FinishPerHour,
		Setup: prices.PerSetup,
	}
	for _, k := range p.Consumables {
		c.Consumables += k.Cost
	}
	c.Total = c.Material + c.Press + c.Finishing + c.Setup + c.Consumables
	c.PerThousand = 1000 * c.Total / float64(ordered)
	return c
}

// priceInk adds the ink to what a run costs, as far as its prices are known.
func priceInk(p *summary.Production, uses []summary.InkUse, ordered int64) {
	if p == nil || p.Cost == nil {
		return
	}
	for _, u := range uses {
		if u.Cost != nil {
			p.Cost.Ink += *u.Cost
		}
	}
	p.Cost.Total += p.Cost.Ink
	p.Cost.PerThousand = 1000 * p.Cost.Total / float64(ordered)
}
