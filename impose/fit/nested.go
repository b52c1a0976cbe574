package fit

import (
	"errors"
	"fmt"
	"strings"

	"quoin/geometry"
	"quoin/geometry/outline/nest"
	"quoin/impose/say"
)

// Nested is a layout of a shaped label that is no plain grid of boxes, always
// beside what the straight grid holds.
type Nested struct {
	Pattern  string `json:"pattern"` // straight, interlocked, staggered or alternating
	Compare  string `json:"compare"` // a sentence on what it gains over the straight grid
	Slitting string `json:"slitting"`
	Layout
}

// takeNested lays the label in every pattern, on the web of the best layout.
func (r *Report) takeNested(q Question) error {
	if q.Outline.Empty() {
		return nil
	}
	w := q.Wish
	web := w.Webs[0]
	if best := r.Best(); best != nil {
		for _, v := range w.Webs {
			if v.Width.MM() == best.WebMM {
				web = v
			}
		}
	}
	found, err := nest.Plan(nest.Request{
		Web: web, Shape: q.Outline, Gap: max(w.Gap.Across, w.Gap.Around), Bleed: w.Bleed, Repeat: w.Repeat, Turns: w.Turns,
	})
	if e := (*geometry.NotFitError)(nil); errors.As(err, &e) {
		return nil // the straight layouts say why
	} else if err != nil {
		return err
	}
	for _, a := range found.Arrangements {
		l, err := q.arranged(a.Layout)
		if err != nil {
			return err
		}
		r.Nested = append(r.Nested, Nested{string(a.Pattern), found.Compare(a), a.Slitting.Text, l})
	}
	return nil
}

// arranged says what a laid frame comes to.
func (q *Question) arranged(g *geometry.Layout) (Layout, error) {
	split := g.Split()
	l := Layout{
		Fits: true, TurnDeg: g.Turn.Degrees(), Across: g.Across, Around: g.Around, Labels: g.Labels(),
		WebMM: g.Web.Width.MM(), LeastWebMM: (g.Block.Size().Across + 2*(g.Bleed+g.Web.Margin())).MM(), RepeatMM: g.Repeat.MM(),
		GapAcrossMM: g.Gap.Across.MM(), GapAroundMM: g.Gap.Around.MM(),
		LabelPercent: split.Label, MatrixPercent: split.Matrix, EdgePercent: split.Edge, TailPercent: split.Tail,
		Size: g.Label.String(), Reasons: []geometry.Reason{}, Warnings: []geometry.Reason{},
	}
	w := q.Wish
	if w.Quantity == 0 {
		l.thousand(w.Terms.Speed)
		return l, nil
	}
	run, err := g.PlanRun([]geometry.Demand{{Quantity: w.Quantity, Places: l.Labels}}, w.Terms)
	if err != nil {
		return l, err
	}
	l.run(run)
	if q.Money != nil {
		l.Cost, err = q.Money.Cost(g.Web.Width, g.Repeat/geometry.Length(g.Around), run)
	}
	return l, err
}

// nested prints the closer layouts.
func (r *Report) nested(b *strings.Builder) {
	if len(r.Nested) == 0 {
		return
	}
	b.WriteString("\nnested, with the gap as true distance\n")
	for i := range r.Nested {
		n := &r.Nested[i]
		wrapped(b, fmt.Sprintf("  %-12s ", n.Pattern), fmt.Sprintf("%s m of web, yield %.1f %%: %s; %s",
			say.Amount(n.WebGrossM), n.YieldPercent, n.Compare, n.Slitting))
	}
}
