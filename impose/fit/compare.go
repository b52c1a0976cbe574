package fit

import (
	"cmp"
	"math"
	"slices"

	"quoin/geometry"
)

// CompareSchema names the comparison's form, whose JSON Schema (draft 2020-12) is
// schema/compare.schema.json.
const CompareSchema = "quoin/compare/1"

// Comparison holds every die, web and turn that serves the order side by side.
type Comparison struct {
	Schema   string     `json:"schema"`
	LabelMM  [2]float64 `json:"label_mm"`
	Quantity int64      `json:"quantity"`
	Measure  string     `json:"measure"`       // what is compared: cost, or area where no prices are known
	Unit     string     `json:"unit"`          // the currency, or m2
	Ink      []LabelInk `json:"ink,omitempty"` // of a label, with its bleed; where it was measured
	Options  []Option   `json:"options"`       // best first, at the ordered quantity
	Best     []Span     `json:"best"`          // which option is best at which quantity
}

// Option is one way to run the order with what it takes more than the best.
type Option struct {
	Number int `json:"option"` // first is 1
	Layout
	NewTool bool `json:"new_tool"` // is to be made
	// InkM2 is the solid of all inks on the labels of the run, InkG and InkCost what
	// it weighs and costs, where ink was measured and that is known. The cost holds it.
	InkM2   float64 `json:"ink_m2,omitempty"`
	InkG    float64 `json:"ink_g,omitempty"`
	InkCost float64 `json:"ink_cost,omitempty"`
	MoreM   float64 `json:"more_m"`
	MoreMin float64 `json:"more_min"`
	More    float64 `json:"more"` // in the comparison's unit
	// BreakEven is about how many labels the option and the best one cost the
	// same at, to a frame or so; 0: one of them is always better.
	BreakEven int64 `json:"break_even"`
	// BetterAbove reports whether the option beats the best one beyond the
	// break-even, and not below it.
	BetterAbove bool `json:"better_above"`

	line line
}

// Span is a range of quantities; To is 0 where it has no end.
type Span struct {
	Option int   `json:"option"`
	From   int64 `json:"from"`
	To     int64 `json:"to"`
}

// line is what an option costs over the quantity when frames, rolls and
// minutes are not rounded up: a fixed part and one for each label.
type line struct{ fixed, each float64 }

func (l line) at(q float64) float64 { return l.fixed + l.each*q }

// meets returns the quantity at which two lines cost the same; ok is false where
// there is none above 0.
func (l line) meets(m line) (q float64, ok bool) {
	q = (m.fixed - l.fixed) / (l.each - m.each)
	return q, q > 0 && !math.IsInf(q, 0)
}

// Compare plans the order on every die, web and turn that serves it; without a
// die room on straight layouts, and on new tools where cylinders or strokes are known.
// New tools stand beside a die room only where their price is known. A wish
// that nothing could meet is a *geometry.NotFitError; the order's quantity is
// more than 0.
func Compare(q Question) (*Comparison, error) {
	fits, err := q.candidates()
	if err != nil {
		return nil, err
	}
	c := &Comparison{
		Schema: CompareSchema, LabelMM: [2]float64{q.Wish.Label.Across.MM(), q.Wish.Label.Around.MM()},
		Quantity: q.Wish.Quantity, Measure: "area", Unit: "m2", Options: []Option{}, Best: []Span{},
	}
	c.Ink = q.Inks
	if q.Money != nil {
		c.Measure, c.Unit = "cost", q.Money.Currency
	}
	for i := range fits {
		if !fits[i].Fits {
			continue
		}
		o, err := q.option(&fits[i])
		if err != nil {
			return nil, err
		}
		c.Options = append(c.Options, o)
	}
	if len(c.Options) == 0 {
		report, err := Answer(q)
		if err != nil {
			return nil, err
		}
		return nil, report.Err()
	}
	c.rank()
	c.spans()
	return c, nil
}

// candidates returns the fits on each web by itself.
func (q *Question) candidates() ([]geometry.Fit, error) {
	webs := q.Wish.Webs
	if len(webs) == 1 {
		for _, w := range q.Stock {
			if !slices.Contains(webs, w) {
				webs = append(slices.Clip(webs), w)
			}
		}
	}
	var all []geometry.Fit
	for _, web := range webs {
		w := q.Wish
		w.Webs = []geometry.Web{web}
		var fits []geometry.Fit
		var err error
		if q.Dies != nil {
			fits, err = geometry.RankDies(q.Dies, w)
		} else {
			fits, err = straight(w)
		}
		if err != nil {
			return nil, err
		}
		all = append(all, fits...)
		tools, err := geometry.RankTools(q.Cylinders, w)
		if err != nil {
			return nil, err
		}
		flat, err := geometry.RankFlatTools(w)
		if err != nil {
			return nil, err
		}
		for _, tool := range append(tools, flat...) {
			if q.Dies == nil || q.Money != nil && q.Money.Tools[tool.Die.Station] > 0 {
				all = append(all, tool)
			}
		}
	}
	return all, nil
}

func (q *Question) option(f *geometry.Fit) (Option, error) {
	l, err := q.layout(f)
	if err != nil {
		return Option{}, err
	}
	o := Option{Layout: l, NewTool: l.Die == "" && l.Station != "" && l.Station != string(geometry.Laser)}
	const far = 1_000_000 // labels: where the rounding of rolls no longer shows
	none, err := q.smooth(f, 0)
	if err != nil {
		return o, err
	}
	many, err := q.smooth(f, far)
	if err != nil {
		return o, err
	}
	o.line = line{none, (many - none) / far}
	q.countInk(&o)
	if o.NewTool && q.Money != nil {
		price := q.Money.Tools[geometry.StationKind(l.Station)]
		o.Cost += price
		o.line.fixed += price
	}
	return o, nil
}

// countInk adds the ink of the labels that the run makes, those above the order
// too, as impose does: make-ready and waste left out.
func (q *Question) countInk(o *Option) {
	labels := float64(o.Frames * int64(o.Labels))
	for _, k := range q.Inks {
		o.InkM2 += k.MM2 / 1e6 * labels
	}
	g, cost := q.inkEach()
	o.InkG = g * labels
	if q.Money != nil {
		o.InkCost = cost * labels
		o.Cost += o.InkCost
	}
}

// smooth returns what so many labels cost when frames are not rounded up.
func (q *Question) smooth(f *geometry.Fit, labels float64) (float64, error) {
	t := q.Wish.Terms
	net := labels * (1 + t.Overs.Float()) * float64(f.Repeat) / float64(f.Labels())
	run := geometry.Usage{Ordered: int64(labels), Net: geometry.Length(net), Gross: geometry.Length(net*(1+t.RunWaste.Float())) + t.Setup}
	if t.Speed > 0 {
		run.Minutes = float64(run.Gross)/float64(t.Speed) + t.SetupMin
	}
	if q.Money == nil {
		return f.Web.Width.Metres() * run.Gross.Metres(), nil
	}
	cost, err := q.price(f, &run)
	_, ink := q.inkEach()
	return cost + ink*labels*(1+t.Overs.Float()), err
}

// value returns what the option costs by the comparison's measure.
func (c *Comparison) value(o *Option) float64 {
	if c.Measure == "cost" {
		return o.Cost
	}
	return o.WebM2
}

// rank sorts the options and measures each against the best.
func (c *Comparison) rank() {
	slices.SortStableFunc(c.Options, func(a, b Option) int {
		return cmp.Or(cmp.Compare(c.value(&a), c.value(&b)), cmp.Compare(a.WebGrossM, b.WebGrossM))
	})
	best := &c.Options[0]
	for i := range c.Options {
		o := &c.Options[i]
		o.Number = i + 1
		o.MoreM, o.MoreMin, o.More = o.WebGrossM-best.WebGrossM, o.PressMin-best.PressMin, c.value(o)-c.value(best)
		if q, ok := o.line.meets(best.line); ok && i > 0 {
			o.BreakEven, o.BetterAbove = int64(math.Ceil(q)), o.line.each < best.line.each
		}
	}
}

// spans walks along the lowest lines, from the least quantity on.
func (c *Comparison) spans() {
	now, from := 0, 0.0
	for i, o := range c.Options {
		if b := c.Options[now].line; o.line.fixed < b.fixed || o.line.fixed == b.fixed && o.line.each < b.each {
			now = i
		}
	}
	for {
		next, at := -1, math.Inf(1)
		for i, o := range c.Options {
			if o.line.each >= c.Options[now].line.each {
				continue
			}
			q := (o.line.fixed - c.Options[now].line.fixed) / (c.Options[now].line.each - o.line.each)
			if q = max(q, from); q < at || q == at && o.line.each < c.Options[next].line.each {
				next, at = i, q
			}
		}
		span := Span{Option: now + 1, From: int64(math.Ceil(from))}
		if next < 0 || at > mostLabels {
			c.Best = append(c.Best, span)
			return
		}
		span.To = int64(math.Ceil(at))
		if span.To > span.From {
			c.Best = append(c.Best, span)
		}
		now, from = next, at
	}
}

// mostLabels is beyond every order: what changes places there never does.
const mostLabels = 1e10
