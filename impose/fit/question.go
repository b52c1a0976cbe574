package fit

import (
	"quoin/geometry"
	"quoin/impose/job"
)

// Question is what is asked.
type Question struct {
	Wish      geometry.Wish
	Dies      []geometry.Die      // the die room; nil: there is none
	Cylinders []geometry.Cylinder // that a new tool can be made for
	Stock     []geometry.Web      // webs in stock
	Prices    *Prices             // nil: unknown
	All       bool                // list every die that doesn't fit, too
}

// Prices turn a run into money.
type Prices struct {
	job.Prices
	Finishing geometry.Length // speed of the die-cutting line, web per minute; 0: unknown
	FinishMin float64         // minutes to set it up
}

// Ask turns a job into a question about a label of the size, printed with so
// many inks. It fails when the press has too few stations for the inks.
func Ask(j *job.Job, label geometry.Size, inks int) (Question, error) {
	wish, err := j.Wish(label, inks)
	if err != nil {
		return Question{}, err
	}
	q := Question{Wish: wish, Stock: j.Stock()}
	if j.Dies != nil {
		q.Dies = j.Dies.Dies
	}
	if p := j.Press; p != nil {
		q.Cylinders = p.Finishing.Cylinders
		if p.Prices != nil {
			q.Prices = &Prices{*p.Prices, p.Finishing.DieCutting, p.Finishing.SetupMin}
		}
	}
	return q, nil
}

// cost gives what a run costs in money: web, press, finishing line and set-up.
func (p *Prices) cost(webM2 geometry.Area, r *geometry.Run) float64 {
	cost := webM2*p.WebPerM2 + r.Minutes/60*p.PressPerHour + p.PerSetup
	if p.Finishing > 0 {
		cost += (float64(r.Gross)/float64(p.Finishing) + p.FinishMin) / 60 * p.FinishPerHour
	}
	return cost
}
