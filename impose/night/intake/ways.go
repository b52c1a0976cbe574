package intake

import (
	"slices"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/night"
)

// House returns the house's job on the forme's press and web.
func (x *Forme) House(house *job.Job) *job.Job {
	if x.Press == nil && x.Layout.Web.Width == house.WebWidth {
		return house
	}
	return houseOn(house, x.Press, x.Layout.Web.Width)
}

func houseOn(house *job.Job, press *job.Press, web geometry.Length) *job.Job {
	j := *house
	if press != nil {
		j.Press = press
	}
	j.WebWidth = web
	return &j
}

// On returns the order as it is printed with another forme.
func (o *Order) On(f *Forme, r *night.Rules) *Order {
	if f == o.Forme {
		return o
	}
	other := *o
	other.Forme, other.RollFrames, other.partRoll = f, 0, false
	other.reel(r)
	return &other
}

// ways lists the formes that an order may be printed with, the one that it takes
// alone first: every die that suits or, without dies, every turn; by money also
// on every press and web.
func (f *formes) ways(o *Order, label geometry.Size, brings *impose.Survey, alone *Forme) []*Forme {
	q := f.question(o, label, brings)
	list, known := f.all[q]
	if !known {
		presses := []*job.Press{nil}
		if f.rules.By == night.Money {
			presses = append(presses, f.rules.Presses...)
		}
		for _, p := range presses {
			for _, web := range f.webs(o, p) {
				for _, x := range f.onWeb(o, label, brings, houseOn(f.rules.House, p, web)) {
					x.Press = p
					list = append(list, f.one(x, q, brings))
				}
			}
		}
		f.all[q] = list
	}
	list = slices.DeleteFunc(slices.Clone(list), func(x *Forme) bool {
		_, err := x.House(f.rules.House).Terms(len(o.PrintInks))
		return err != nil
	})
	if i := slices.Index(list, alone); i > 0 {
		list[0], list[i] = list[i], list[0]
	} else if i < 0 && f.rules.By != night.Money && alone != nil {
		list = slices.Insert(list, 0, alone)
	}
	return list
}

// webs lists the widths that the order may be printed on: the one that is named, where
// the press takes it, or what the press has. Of a material that is in stock, no other is to
// be had.
func (f *formes) webs(o *Order, press *job.Press) []geometry.Length {
	house := f.rules.House
	if f.rules.By != night.Money || !f.rules.FreeWeb {
		if press != nil && !press.Takes(house.WebWidth) {
			return nil
		}
		return []geometry.Length{house.WebWidth}
	}
	if press == nil {
		press = house.Press
	}
	var widths []geometry.Length
	for _, l := range press.LotsOf(o.Stock) {
		widths = append(widths, l.Width)
	}
	if len(widths) == 0 {
		widths = press.Webs
	}
	if len(widths) == 0 {
		widths = []geometry.Length{press.WebMax}
	}
	var out []geometry.Length
	for _, w := range widths {
		if press.Takes(w) && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// onWeb lists the formes on the job's press and web.
func (f *formes) onWeb(o *Order, label geometry.Size, brings *impose.Survey, house *job.Job) []*Forme {
	j := *asks(o, house, label, brings)
	if unwound(&j) != nil {
		return nil
	}
	var dies []geometry.Die
	switch {
	case j.Dies == nil:
		if label == (geometry.Size{}) {
			return nil
		}
		return turned(&j)
	case o.Die == "":
		dies = j.Dies.Dies
	default:
		if d := j.Dies.Find(o.Die); d != nil {
			dies = []geometry.Die{*d}
		}
	}
	if len(dies) == 0 || label == (geometry.Size{}) && o.Die == "" {
		return nil
	}
	fits, label, shape, why := f.rank(dies, &j, label, brings)
	if why != nil {
		return nil
	}
	var out []*Forme
	for i := range fits {
		if fits[i].Fits {
			out = append(out, cutBy(&fits[i], label, shape))
		}
	}
	return out
}

// turned lists the straight layouts, one for each turn that is allowed.
func turned(j *job.Job) []*Forme {
	var out []*Forme
	request := j.Request()
	for _, t := range request.Turns {
		request.Turns = []geometry.Turn{t}
		if l, err := geometry.Plan(request); err == nil {
			out = append(out, &Forme{Label: l.Label.Turned(l.Turn), Shape: j.Shape, Layout: l})
		}
	}
	return out
}
