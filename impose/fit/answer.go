package fit

import (
	"fmt"
	"slices"

	"quoin/geometry"
)

// Answer ranks what there is. With a die room, Layouts are its dies: those that
// fit, near misses, and on request all others; without one, they are the
// straight layouts of each turn, beside the best new tools. A wish that nothing
// could meet is a *geometry.NotFitError.
func Answer(q Question) (*Report, error) {
	w := q.Wish
	r := &Report{
		Schema: Schema, LabelMM: [2]float64{w.Label.Across.MM(), w.Label.Around.MM()}, Quantity: w.Quantity,
		Warnings: q.Warnings, Notes: q.Notes, Layouts: []Layout{}, Tools: []Layout{}, Flat: []Layout{}, Webs: []Layout{},
	}
	if q.Money != nil {
		r.Currency = q.Money.Currency
	}
	parts := []func(Question) error{r.takeStraight, r.takeNested, r.takeTools, r.takeWebs, r.takeLeast}
	if q.Dies != nil {
		parts = []func(Question) error{r.takeDies, r.takeNested, r.takeWebs, r.takeLeast}
	}
	for _, take := range parts {
		if err := take(q); err != nil {
			return nil, err
		}
	}
	if slices.ContainsFunc(r.Layouts, func(l Layout) bool { return slices.ContainsFunc(l.Warnings, ofDieLine) }) {
		r.Warnings = slices.DeleteFunc(slices.Clone(r.Warnings), ofDieLine) // the dies say it, each with what it cuts
	}
	return r, nil
}

// ofDieLine reports whether it is said that an artwork's die line is not the trim,
// or not what is cut.
func ofDieLine(r geometry.Reason) bool { return r.Code == geometry.CodeDieLineDiffers }

func (r *Report) takeStraight(q Question) error {
	fits, err := straight(q.Wish)
	if err != nil {
		return err
	}
	return q.addLayouts(&r.Layouts, fits, true)
}

func (r *Report) takeTools(q Question) error {
	fits, err := geometry.RankTools(q.Cylinders, q.Wish)
	if err != nil {
		return err
	}
	if err := q.addLayouts(&r.Tools, fits, q.All); err != nil {
		return err
	}
	if fits, err = geometry.RankFlatTools(q.Wish); err != nil {
		return err
	}
	return q.addLayouts(&r.Flat, fits, q.All)
}

// addLayouts lists the fits, and what doesn't fit where it is asked for.
func (q *Question) addLayouts(to *[]Layout, fits []geometry.Fit, all bool) error {
	for i := range fits {
		if !fits[i].Fits && !all {
			continue
		}
		l, err := q.layout(&fits[i])
		if err != nil {
			return err
		}
		*to = append(*to, l)
	}
	return nil
}

// nearestShown is how many dies are told of when none fits: enough to see a
// pattern in what is wrong, on one screen.
const nearestShown = 10

// takeDies keeps what is worth telling of the ranked die room.
func (r *Report) takeDies(q Question) error {
	fits, err := geometry.RankDies(q.Dies, q.Wish)
	if err != nil {
		return err
	}
	count := DieCount{Total: len(fits)}
	for i := range fits {
		if fits[i].Fits {
			count.Fit++
		} else if fits[i].Near {
			count.Near++
		}
	}
	for i := range fits {
		f := &fits[i]
		if f.Fits || f.Near || q.All || rightSize(&q.Wish, f.Die) || count.Fit == 0 && i < nearestShown {
			if err := q.addLayouts(&r.Layouts, fits[i:i+1], true); err != nil {
				return err
			}
		}
	}
	r.Dies = &count
	return nil
}

// rightSize reports whether the die cuts the label at some turn: then a person
// wants to know what else is wrong with it.
func rightSize(w *geometry.Wish, d *geometry.Die) bool {
	if d.Shape.Rectangular() != w.Shape.Rectangular() || !d.Shape.Rectangular() && d.Shape != w.Shape {
		return false
	}
	near := func(a, b geometry.Length) bool { return max(a-b, b-a) <= geometry.DieTolerance }
	return near(d.Size.Across, w.Label.Across) && near(d.Size.Around, w.Label.Around) ||
		near(d.Size.Across, w.Label.Around) && near(d.Size.Around, w.Label.Across)
}

// straight returns the best straight layout of each turn, with no die in mind:
// the edge matrix and the least gap of a tool don't bind it, but they warn.
func straight(w geometry.Wish) ([]geometry.Fit, error) {
	edge := w.EdgeMatrix
	w.EdgeMatrix = 0
	w.Stripping.Refuse = 0
	turns := w.Turns
	var fits []geometry.Fit
	for _, t := range turns {
		w.Turns = []geometry.Turn{t}
		ranked, err := geometry.RankWebs(w)
		if err != nil {
			return nil, err
		}
		f := ranked[0]
		if f.Fits {
			f.Warnings = append(f.Warnings, thinEdge(&f, edge)...)
		}
		fits = append(fits, f)
	}
	slices.SortStableFunc(fits, func(a, b geometry.Fit) int {
		switch {
		case a.Fits != b.Fits:
			if a.Fits {
				return -1
			}
			return 1
		case a.Fits && a.WebArea < b.WebArea:
			return -1
		case a.Fits && a.WebArea > b.WebArea:
			return 1
		}
		return 0
	})
	return fits, nil
}

// thinEdge warns when less matrix than wanted is left at the web's edges.
func thinEdge(f *geometry.Fit, wanted geometry.Length) []geometry.Reason {
	block := geometry.BlockWidth(f.Across, f.Die.Size.Across, f.Gap.Across)
	left := (f.Web.Width - block) / 2
	if left >= wanted {
		return nil
	}
	return []geometry.Reason{{Code: geometry.CodeEdgeMatrix, Text: fmt.Sprintf(
		"a matrix of %s is left at each edge of the web; %s are wanted to strip it in one piece", left, wanted)}}
}

// takeWebs ranks the webs in stock, each with its best straight layout.
func (r *Report) takeWebs(q Question) error {
	if len(q.Stock) == 0 {
		return nil
	}
	w := q.Wish
	w.Webs = q.Stock
	fits, err := geometry.RankWebs(w)
	if err != nil {
		return err
	}
	return q.addLayouts(&r.Webs, fits, true)
}
