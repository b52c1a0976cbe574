package night

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/job"
)

// forme is what orders must share to share a frame: the die, or the label's
// size, with the turn, laid on the web. A forme is type and blocks locked up
// for the press.
type forme struct {
	die    string // number; empty without a tool
	label  geometry.Size
	layout *geometry.Layout
}

// formeKey is what a forme is found by.
type formeKey struct {
	label    geometry.Size
	die      string
	winding  geometry.Winding
	material string
}

// formes finds the forme of each order, each looked for once.
type formes struct {
	rules *Rules
	known map[formeKey]*forme
	why   map[formeKey]*refusal
	same  map[string]*forme // by what they lay
}

func newFormes(r *Rules) *formes {
	return &formes{r, map[formeKey]*forme{}, map[formeKey]*refusal{}, map[string]*forme{}}
}

// of gives the order's forme, or why there is none. label may be zero where a
// die says it.
func (f *formes) of(o *job.Order, label geometry.Size) (*forme, *refusal) {
	key := formeKey{label: label, die: o.Die, material: material(f.rules, o)}
	if w := f.winding(o); w != nil {
		key.winding = *w
	}
	if known, ok := f.known[key]; ok {
		return known, f.why[key]
	}
	found, why := f.find(o, label)
	if found != nil {
		found = f.shared(found)
	}
	f.known[key], f.why[key] = found, why
	return found, why
}

// shared gives one forme for all orders that lay the same.
func (f *formes) shared(x *forme) *forme {
	l := x.layout
	key := fmt.Sprint(x.die, l.Label, l.Turn, l.Across, l.Around, l.Gap, l.Repeat)
	if first, ok := f.same[key]; ok {
		return first
	}
	f.same[key] = x
	return x
}

func (f *formes) winding(o *job.Order) *geometry.Winding {
	if o.Winding != nil {
		return o.Winding
	}
	return f.rules.House.Winding
}

func (f *formes) find(o *job.Order, label geometry.Size) (*forme, *refusal) {
	j := *f.rules.House
	j.Winding, j.Label, j.Material.Kind = f.winding(o), label, material(f.rules, o)
	if j.Winding != nil && len(j.Turns) == 0 {
		if j.Route().Windings == 0 {
			return nil, &refusal{BadWinding, fmt.Sprintf("%q asks for a turn that depends on how often the web is wound up, which nobody says "+
				"(say --windings, or windings under finishing in the press file)", *j.Winding)}
		}
		if _, err := j.Winding.Turn(j.Route()); err != nil {
			return nil, refuse(BadWinding, err)
		}
	}
	switch {
	case o.Die != "":
		if j.Dies == nil {
			return nil, &refusal{NoDie, fmt.Sprintf("die %s is in no library (name the die library with --dies)", o.Die)}
		}
		d := j.Dies.Find(o.Die)
		if d == nil {
			text := fmt.Sprintf("there is no die %s in the library", o.Die)
			if meant := j.Dies.Meant(o.Die); meant != "" {
				text += " (" + meant + ")"
			}
			return nil, &refusal{NoDie, text}
		}
		return f.cut([]geometry.Die{*d}, &j, label)
	case label == geometry.Size{}:
		return nil, &refusal{NoSize, "nothing says the label's size (say label, die or artwork in the order file, or --label for all)"}
	case j.Dies != nil:
		return f.cut(j.Dies.Dies, &j, label)
	}
	l, err := geometry.Plan(j.Request())
	if err != nil {
		return nil, refuse(NotFit, err)
	}
	return &forme{"", l.Label.Turned(l.Turn), l}, nil
}

// cut takes the best die.
func (f *formes) cut(dies []geometry.Die, j *job.Job, label geometry.Size) (*forme, *refusal) {
	if (label == geometry.Size{}) { // the die alone says it
		turns := j.Request().Turns[:1]
		label, j.Turns, j.Shape = dies[0].Size.Turned(turns[0]), turns, dies[0].Shape
	}
	w, err := j.Wish(label, 0)
	if err != nil {
		return nil, refuse(BadInks, err)
	}
	w.Webs, w.Quantity = []geometry.Web{j.Web()}, 0
	fits, err := geometry.RankDies(dies, w)
	if err != nil {
		return nil, refuse(NotFit, err)
	}
	best := &fits[0]
	if !best.Fits {
		why := refuse(NoDie, &geometry.NotFitError{Reasons: best.Reasons()})
		return nil, &refusal{NoDie, fmt.Sprintf("no die suits; of the nearest, %s: %s", best.Die.Number, why.text)}
	}
	return &forme{best.Die.Number, label, best.Layout()}, nil
}

// job gives a job for runs of the forme, without artworks.
func (x *forme) job(house *job.Job) *job.Job {
	j := *house
	l := x.layout
	j.Label, j.Turns, j.Artworks = x.label, []geometry.Turn{l.Turn}, nil
	if x.die != "" {
		j.Die, j.Lanes, j.Rows = x.die, 0, 0
		if d := j.Tool(); d != nil {
			j.Shape = d.Shape
		}
		return &j
	}
	j.Gap, j.Repeat, j.Lanes, j.Rows = l.Gap, job.Repeat{Fixed: l.Repeat}, l.Across, l.Around
	return &j
}

// material gives the order's material, or the house's.
func material(r *Rules, o *job.Order) string {
	if o.Material != "" {
		return o.Material
	}
	return r.House.Material.Kind
}
