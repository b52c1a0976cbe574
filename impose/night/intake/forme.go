package intake

import (
	"cmp"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/geometry/outline"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/say"
)

// Forme is what orders must share to share a frame: the die, or the label's
// size, with the turn, laid on the web. A forme is type and blocks locked up
// for the press.
type Forme struct {
	Die    string // number; empty without a tool
	Label  geometry.Size
	Shape  geometry.Shape // of the label; empty where nobody says
	Cut    int            // formes whose labels are cut alike have one number; 0: as plain boxes, or as the die
	Layout *geometry.Layout
	Press  *job.Press // nil for the house's
	Unused int        // lanes that the die cuts beside those of the layout
	// Alike is how many quarter turns change nothing but the artwork: 1 or 2, and 4
	// where the label may stand in no other way.
	Alike int
}

// Lay is what a forme lays, as a value: formes that lay the same are one.
type Lay struct {
	Die            string
	Label          geometry.Size // as it lies
	Shape          geometry.Shape
	Cut            int
	Turn           geometry.Turn
	Across, Around int
	Gap            geometry.Size
	Repeat         geometry.Length
	Web            geometry.Length
	Press          *job.Press
}

// Lay returns what the forme lays.
func (x *Forme) Lay() Lay {
	l, shape := x.Layout, x.Shape
	if shape.Rectangular() {
		shape = geometry.ShapeRectangle
	}
	return Lay{x.Die, l.Label, shape, x.Cut, l.Turn, l.Across, l.Around, l.Gap, l.Repeat, l.Web.Width, x.Press}
}

// Ground returns what the forme lays, whichever way artworks stand in it: formes of
// one ground may share a frame, each lane turned as its order needs.
func (x *Forme) Ground() Lay {
	lay := x.Lay()
	lay.Turn %= geometry.Turn(x.Alike)
	return lay
}

// SizeMM returns the upright label, across and around, in mm.
func (x *Forme) SizeMM() [2]float64 { return [2]float64{x.Label.Across.MM(), x.Label.Around.MM()} }

// question is what decides an order's forme.
type question struct {
	label   geometry.Size
	cut     int
	die     string
	winding geometry.Winding
	stock   string
}

// answer is a forme, or why there is none.
type answer struct {
	forme *Forme
	why   *night.Note
}

// formes finds the forme of each order, each looked for once.
type formes struct {
	rules *night.Rules
	known map[question]answer
	all   map[question][]*Forme // see ways
	same  map[Lay]*Forme
	cuts  cutList
}

func newFormes(r *night.Rules) *formes {
	return &formes{r, map[question]answer{}, map[question][]*Forme{}, map[Lay]*Forme{}, nil}
}

// of returns the order's forme, or why there is none. label may be zero where a
// die says it, and brings is nil where the artwork was not read.
func (f *formes) of(o *Order, label geometry.Size, brings *impose.Survey) (*Forme, *night.Note) {
	q := f.question(o, label, brings)
	a, known := f.known[q]
	if !known {
		if a.forme, a.why = f.find(o, label, brings); a.forme != nil {
			a.forme = f.one(a.forme, q, brings)
		}
		f.known[q] = a
	}
	return a.forme, a.why
}

func (f *formes) question(o *Order, label geometry.Size, brings *impose.Survey) question {
	q := question{label: label, cut: f.cuts.number(brings), die: o.Die, stock: o.Stock}
	if w := f.winding(o); w != nil {
		q.winding = *w
	}
	return q
}

// one returns the one forme that lays as this does, which answers the question.
func (f *formes) one(x *Forme, q question, brings *impose.Survey) *Forme {
	x.Cut = q.cut
	lay := x.Lay()
	if f.same[lay] == nil {
		x.Alike = f.alike(x, brings)
		f.same[lay] = x
	}
	return f.same[lay]
}

// alike returns how many quarter turns change nothing but the artwork. Records of
// variable data run along the web, so there labels stand in one way only.
func (f *formes) alike(x *Forme, brings *impose.Survey) int {
	j := x.Job(f.rules.House)
	if j.Data != nil || j.Nest {
		return 4
	}
	shape, cut := x.Shape, outline.Outline{}
	if brings != nil {
		cut = brings.Cut
	}
	if d := j.Tool(); d != nil {
		shape = d.Shape
	}
	for _, t := range []geometry.Turn{geometry.Turn90, geometry.Turn180} {
		fits := x.Label.Turned(t) == x.Label
		if fits && (shape != geometry.ShapeOutline || impose.TurnsAlike(j, x.Label, cut, t)) {
			return int(t)
		}
	}
	return 4
}

func (f *formes) winding(o *Order) *geometry.Winding { return cmp.Or(o.Winding, f.rules.House.Winding) }

// asks returns the house's job with what the order and its artwork ask for.
func asks(o *Order, house *job.Job, label geometry.Size, brings *impose.Survey) *job.Job {
	j := *house
	if brings != nil {
		as := brings.Job
		j.Shape, j.Outline, j.Radius, j.RadiusDrawn = as.Shape, as.Outline, as.Radius, as.RadiusDrawn
	}
	j.Winding, j.Label, j.Material.Kind = cmp.Or(o.Winding, house.Winding), label, o.Stock
	return &j
}

func (f *formes) find(o *Order, label geometry.Size, brings *impose.Survey) (*Forme, *night.Note) {
	j := *asks(o, f.rules.House, label, brings)
	if why := unwound(&j); why != nil {
		return nil, why
	}
	switch {
	case o.Die != "":
		if j.Dies == nil {
			return nil, night.Refuse(night.NoDie, "die %s is in no library (name the die library with --dies)", o.Die)
		}
		d := j.Dies.Find(o.Die)
		if d == nil {
			text := fmt.Sprintf("there is no die %s in the library", o.Die)
			if meant := j.Dies.Meant(o.Die); meant != "" {
				text += " (" + meant + ")"
			}
			return nil, night.Refuse(night.NoDie, "%s", text)
		}
		return f.cut([]geometry.Die{*d}, &j, label, brings)
	case label == geometry.Size{}:
		return nil, night.Refuse(night.NoSize, "nothing says the label's size (say label, die or artwork in the order file, or --label for all)")
	case j.Dies != nil:
		return f.cut(j.Dies.Dies, &j, label, brings)
	}
	l, err := geometry.Plan(j.Request())
	if err != nil {
		return nil, night.RefuseFor(night.NotFit, err)
	}
	return &Forme{Label: l.Label.Turned(l.Turn), Shape: j.Shape, Layout: l}, nil
}

// unwound says why the job's winding can't be made; nil where it can, or nobody says
// one.
func unwound(j *job.Job) *night.Note {
	if j.Winding == nil {
		return nil
	}
	if j.Route().Windings == 0 {
		return night.Refuse(night.BadWinding, "%q asks for a turn that depends on how often the web is wound up, which nobody says "+
			"(say --windings, or windings under finishing in the press file)", *j.Winding)
	}
	t, err := j.Winding.Turn(j.Route())
	if err != nil {
		return night.RefuseFor(night.BadWinding, err)
	}
	if len(j.Turns) > 0 && !slices.Contains(j.Turns, t) {
		return night.Refuse(night.BadWinding, "%q asks for labels turned by %s degrees, which turn does not allow (leave turn out: the winding decides it)", *j.Winding, t)
	}
	return nil
}

// cut takes the best die.
func (f *formes) cut(dies []geometry.Die, j *job.Job, label geometry.Size, brings *impose.Survey) (*Forme, *night.Note) {
	fits, label, shape, why := f.rank(dies, j, label, brings)
	if why != nil {
		return nil, why
	}
	best := &fits[0]
	if !best.Fits {
		return nil, night.Refuse(night.NoDie, "no die suits; of the nearest, %s: %s",
			best.Die.Number, say.WithHint(&geometry.NotFitError{Reasons: best.Reasons()}))
	}
	return cutBy(best, label, shape), nil
}

// cutBy returns the forme of a die that fits.
func cutBy(f *geometry.Fit, label geometry.Size, shape geometry.Shape) *Forme {
	return &Forme{Die: f.Die.Number, Label: label, Shape: shape, Layout: f.Layout(), Unused: max(f.Die.Lanes-f.Across, 0)}
}

// rank ranks dies for a label on the job's web, and returns the label and its
// shape, which the artwork's die line or the first die says where nothing else does.
func (f *formes) rank(dies []geometry.Die, house *job.Job, label geometry.Size, brings *impose.Survey) ([]geometry.Fit, geometry.Size, geometry.Shape, *night.Note) {
	j := *house
	drawn := brings != nil && !brings.Cut.Empty()
	switch {
	case label != geometry.Size{}:
	case drawn:
		label = brings.Label
	default: // the die alone says it
		turns := j.Request().Turns[:1]
		label, j.Turns, j.Shape, j.Outline = dies[0].Size.Turned(turns[0]), turns, dies[0].Shape, dies[0].Outline
	}
	w, err := j.Wish(label, 0)
	if err != nil {
		return nil, label, w.Shape, night.RefuseFor(night.BadInks, err)
	}
	w.Webs, w.Quantity = []geometry.Web{j.Web()}, 0
	if drawn {
		brings.Shape(&w)
		w.Match = tried(&f.rules.Trial, brings.Cut, impose.MatchDies(&j, brings.Cut))
	}
	fits, err := geometry.RankDies(dies, w)
	if err != nil {
		return nil, label, w.Shape, night.RefuseFor(night.NotFit, err)
	}
	return fits, label, w.Shape, nil
}

// Job returns a job for runs of the forme, without artworks.
func (x *Forme) Job(house *job.Job) *job.Job {
	j := *x.House(house)
	l := x.Layout
	j.Label, j.Turns, j.Artworks = x.Label, []geometry.Turn{l.Turn}, nil
	if x.Die != "" {
		j.Die, j.Lanes, j.Rows = x.Die, 0, 0
		if d := j.Tool(); d != nil && d.Shape != geometry.ShapeOutline { // whose own is borrowed
			j.Shape = d.Shape
		}
		return &j
	}
	j.Gap, j.Repeat, j.Lanes, j.Rows = l.Gap, job.Repeat{Fixed: l.Repeat}, l.Across, l.Around
	return &j
}
