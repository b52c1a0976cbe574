package fit

import (
	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose/job"
)

// Question is what is asked.
type Question struct {
	Wish      geometry.Wish
	Dies      []geometry.Die      // the die room; nil: there is none
	Cylinders []geometry.Cylinder // that a new tool can be made for
	Stock     []geometry.Web      // webs in stock
	Outline   outline.Outline     // of the upright label; empty: a rectangle, which nothing nests
	Nest      NestRules
	Money     *Money            // nil: no prices are known
	Inks      []LabelInk        // of the artworks, where they were measured
	Warnings  []geometry.Reason // about the artworks
	Notes     []geometry.Reason // about the drawing of the outline
	All       bool              // list every die that doesn't fit, too
}

// NestRules say how closer layouts may lay the label.
type NestRules struct {
	Turns []geometry.Turn
	Apart bool // no label across the seam
}

// LabelInk is what one label takes of an ink: solid, grams and money, the last two
// nil where they aren't known.
type LabelInk struct {
	Name string   `json:"name"`
	MM2  float64  `json:"label_mm2"`
	G    *float64 `json:"label_g"`
	Cost *float64 `json:"label_cost"`
}

// inkEach returns what the inks of one label weigh and cost, as far as they are known.
func (q *Question) inkEach() (g, cost float64) {
	for _, k := range q.Inks {
		if k.G != nil {
			g += *k.G
		}
		if k.Cost != nil {
			cost += *k.Cost
		}
	}
	return g, cost
}

// Money turns a run into what it costs.
type Money struct {
	Currency string
	Tools    map[geometry.StationKind]float64 // price of a new tool, by the station that it is made for; 0: unknown
	// Cost gives the price of a run on a web so wide, with so much web around for
	// each row.
	Cost func(width, pitch geometry.Length, run *geometry.Usage) (float64, error)
}

// Ask turns a job into a question about a label of the size, printed with so
// many inks. It fails when the press has too few stations for the inks.
func Ask(j *job.Job, label geometry.Size, inks int) (Question, error) {
	wish, err := j.Wish(label, inks)
	if err != nil {
		return Question{}, err
	}
	q := Question{Wish: wish, Stock: job.StockWebs(j), Nest: NestRules{job.NestTurns(j), j.NestApart}}
	if j.Dies != nil {
		q.Dies = j.Dies.Dies
	}
	if p := j.Press; p != nil {
		q.Cylinders = p.Finishing.Cylinders
	}
	return q, nil
}

// price returns what a run of the fit costs; 0 where no prices are known.
func (q *Question) price(f *geometry.Fit, run *geometry.Usage) (float64, error) {
	if q.Money == nil {
		return 0, nil
	}
	return q.Money.Cost(f.Web.Width, f.Repeat/geometry.Length(f.Around), run)
}
