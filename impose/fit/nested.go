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
	Pattern   string  `json:"pattern"` // straight, interlocked, staggered, alternating, sheared or paired
	Compare   string  `json:"compare"` // a sentence on what it gains over the straight grid
	Slitting  string  `json:"slitting"`
	SavedM    float64 `json:"saved_m"`            // of gross web against the straight grid
	Crossing  int     `json:"crossing"`           // labels across the seam
	Seam      string  `json:"seam"`               // the same in a sentence
	Turned    int     `json:"turned"`             // labels that stand upside down against the first
	Stripping string  `json:"stripping"`          // what the gap means for the matrix
	Density   float64 `json:"density_percent"`    // of the plane, if the pattern went on without end
	Bound     float64 `json:"bound_labels_per_m"` // that no layout can exceed on this web
	BoundBy   string  `json:"bound_by"`
	Layout
}

// takeNested lays the label in every pattern, on the web of the best layout.
func (r *Report) takeNested(q Question) error {
	if q.Outline.Empty() {
		return nil
	}
	w := q.Wish
	web := w.Webs[0]
	if best := r.Best(); best == nil {
		fits, err := geometry.RankWebs(w)
		if err != nil {
			return err
		}
		web = fits[0].Web
	} else {
		for _, v := range w.Webs {
			if v.Width.MM() == best.WebMM {
				web = v
			}
		}
	}
	n := nest.Request{Web: web, Shape: q.Outline, Gap: w.Gap, Bleed: w.Bleed, Repeat: w.Repeat, Turns: w.Turns}
	if len(q.Nest.Turns) > 0 {
		n.Turns = q.Nest.Turns
	}
	if q.Nest.Apart {
		n.Seam = nest.Apart
	}
	found, err := nest.Plan(n)
	if e := (*geometry.NotFitError)(nil); errors.As(err, &e) {
		return nil // the straight layouts say why
	} else if err != nil {
		return err
	}
	straight, err := q.arranged(found.Of(nest.Straight).Layout)
	if err != nil {
		return err
	}
	for _, a := range found.Arrangements {
		l, err := q.arranged(a.Layout)
		if err != nil {
			return err
		}
		r.Nested = append(r.Nested, Nested{
			Pattern: string(a.Pattern), Compare: found.Compare(a), Slitting: a.Slitting.Text, SavedM: straight.WebGrossM - l.WebGrossM,
			Crossing: a.Crossing, Seam: a.Seam(), Turned: a.Turned(), Stripping: q.stripping(a),
			Density: 100 * a.Density(), Bound: found.Bound, BoundBy: found.BoundBy, Layout: l,
		})
	}
	return nil
}

// stripping says how the matrix comes off: by the narrowest gap, and by the
// label's own narrowest neck of waste.
func (q *Question) stripping(a *nest.Arrangement) string {
	limits := q.Wish.Stripping
	narrow, what := a.Clearance, fmt.Sprintf("the matrix is %s wide at its narrowest", a.Clearance)
	if neck, some := q.Outline.Waist(); some && neck < narrow {
		narrow, what = neck, fmt.Sprintf("the matrix is %s wide between labels, but has a neck of %s in the label's own hollow", a.Clearance, neck)
	}
	switch {
	case narrow < limits.Refuse:
		return what + fmt.Sprintf(", less than the %s that it needs to come off in one piece", limits.Refuse)
	case narrow < limits.Warn:
		return what + fmt.Sprintf(", less than the %s that it needs to strip well", limits.Warn)
	}
	return what
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
		saved := ""
		if n.Pattern != string(nest.Straight) {
			saved = fmt.Sprintf(": %s m of web less", say.Amount(n.SavedM))
			if n.SavedM < 0 {
				saved = fmt.Sprintf(": %s m of web more", say.Amount(-n.SavedM))
			}
		}
		turned := say.Where(n.Turned > 0, "; %d of %d labels stand upside down", n.Turned, n.Labels)
		wrapped(b, fmt.Sprintf("  %-12s ", n.Pattern), fmt.Sprintf("%s m of web, yield %s %%: %s%s; %s; %s; %s%s",
			say.Amount(n.WebGrossM), say.Fixed(n.YieldPercent, 1), n.Compare, saved, n.Slitting, n.Seam, n.Stripping, turned))
	}
	wrapped(b, "  ", fmt.Sprintf("no layout holds more than %.1f labels to the metre on this web, by %s", r.Nested[0].Bound, r.Nested[0].BoundBy))
}
