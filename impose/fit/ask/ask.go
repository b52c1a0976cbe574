// Package ask turns a job with its artworks into a question to fit: the label and
// its outline, the inks, the dies that match and the press's prices.
package ask

import (
	"cmp"
	"context"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose"
	"quoin/impose/fit"
	"quoin/impose/job"
	"quoin/impose/say"
)

// Near is how far a die's size may be off to be worth a word: half a millimetre
// larger on each side.
const Near = geometry.Millimetre

// Asked is a question with the outline of the label that dies are compared with;
// empty where only its size is known.
type Asked struct {
	fit.Question
	Cut outline.Outline
	Job *job.Job // with the shape that the artworks' own die line says
}

// About asks about a job. Its artworks are looked at where survey says so; without
// them the job says its label. Inks is the number of printing inks, 0 for those
// of the artworks. The errors are those of impose.SurveyArtworks and fit.Ask.
func About(ctx context.Context, j *job.Job, survey bool, inks int) (*Asked, error) {
	label, looked := j.Label, &impose.Survey{}
	if survey {
		var err error
		if looked, err = impose.SurveyArtworks(ctx, j); err != nil {
			return nil, err
		}
		label, j = looked.Label, looked.Job
		inks = cmp.Or(inks, len(looked.Inks))
	}
	q, err := fit.Ask(j, label, inks)
	if err != nil {
		return nil, err
	}
	q.Money = money(j, q.Wish.Terms)
	looked.Shape(&q.Wish)
	q.Warnings, q.Notes = looked.DieLines, looked.Notes
	switch {
	case !q.Wish.Shape.Rectangular() && !looked.Outline.Empty():
		q.Outline = looked.Outline
	case !looked.Outline.Empty(): // a rectangle, which nothing nests
	case !j.Shape.Rectangular():
		var said []say.Note
		if q.Outline, said, err = impose.LabelOutline(j, label); err != nil {
			return nil, err
		}
		for _, n := range said {
			q.Notes = append(q.Notes, geometry.Reason{Code: n.Code, Text: n.Text})
		}
		q.Wish.Area = q.Outline.Area()
	}
	cut := looked.Cut
	if cut.Empty() {
		cut = q.Outline
	}
	if cut.Empty() && j.Radius != nil {
		if cut, _, err = impose.LabelOutline(j, label); err != nil {
			return nil, err
		}
	}
	q.Wish.Match = impose.MatchDies(j, cut)
	q.Wish.Near = Near
	return &Asked{q, cut, j}, nil
}

// Ink measures what the artworks of a job take of each ink, so that it counts where
// options are compared.
func (a *Asked) Ink(ctx context.Context, measure impose.InkMeter) error {
	uses, err := impose.SurveyInk(ctx, a.Job, a.Wish.Label, measure)
	for _, u := range uses {
		a.Inks = append(a.Inks, fit.LabelInk{Name: u.Name, MM2: u.Label, G: u.G, Cost: u.Cost})
	}
	return err
}

// money prices runs by the job's press; nil when the press has no prices.
func money(j *job.Job, terms geometry.Terms) *fit.Money {
	if j.Press == nil || j.Press.Prices == nil {
		return nil
	}
	tools := map[geometry.StationKind]float64{}
	for _, kind := range []geometry.StationKind{geometry.FullRotary, geometry.SemiRotary, geometry.FlatBed} {
		tools[kind] = j.Press.Prices.Tool(kind, j.Shape)
	}
	return &fit.Money{Currency: j.Press.Prices.Currency, Tools: tools, Cost: func(width, pitch geometry.Length, run *geometry.Usage) (float64, error) {
		p, err := impose.Produce(j, width, pitch, run, terms)
		if err != nil {
			return 0, err
		}
		return p.Cost.Total, nil
	}}
}
