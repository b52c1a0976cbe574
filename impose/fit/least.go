package fit

import (
	"fmt"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose/say"
)

// Least is the layout that costs the least web of all that one kind of tool
// cuts, or why there is none.
type Least struct {
	By string `json:"by"` // die, cylinder or laser
	Layout
}

// takeLeast sets the die room, a new tool on the best of the press's cylinders,
// and the press's laser side by side, as far as there are such.
func (r *Report) takeLeast(q Question) error {
	add := func(by string, f *geometry.Fit) error {
		l, err := q.layout(f)
		if err == nil {
			r.Least = append(r.Least, Least{by, l})
		}
		return err
	}
	tools := slices.DeleteFunc(slices.Clone(q.Dies), func(d geometry.Die) bool { return d.Station == geometry.Laser })
	if len(tools) > 0 {
		fits, err := geometry.RankDies(tools, q.Wish)
		if err != nil {
			return err
		}
		if err := add("die", &fits[0]); err != nil {
			return err
		}
	}
	if len(q.Cylinders) > 0 {
		fits, err := geometry.RankTools(q.Cylinders, q.Wish)
		if err != nil {
			return err
		}
		if err := add("cylinder", &fits[0]); err != nil {
			return err
		}
	}
	flat, err := geometry.RankFlatTools(q.Wish)
	if err != nil {
		return err
	}
	if len(flat) > 0 {
		if err := add("flat tool", &flat[0]); err != nil {
			return err
		}
	}
	if slices.ContainsFunc(q.Wish.Stations, func(s geometry.DieStation) bool { return s.Kind == geometry.Laser }) {
		f, err := geometry.BestLaser(q.Wish)
		if err != nil {
			return err
		}
		return add("laser", &f)
	}
	return nil
}

// least prints a line for each kind of tool, where there is something to compare.
func (r *Report) least(b *strings.Builder) {
	if len(r.Least) < 2 {
		return
	}
	b.WriteString("\nleast web by kind of tool\n")
	t := table{head: []string{"", "web", "turn", "grid", "repeat", "yield", "length", "area"}, units: []string{"", "mm", "deg", "", "mm", "%", "m", "m2"}}
	var none []string
	for i := range r.Least {
		l := &r.Least[i]
		name := l.By
		switch l.By {
		case "die":
			name += " " + l.Die
		case "cylinder", "flat tool":
			name = l.Name() // its teeth, or the station that it is for
		}
		if !l.Fits {
			why := "none fits"
			if len(l.Reasons) > 0 {
				why = "none; " + l.Reasons[0].Text
			}
			none = append(none, l.By+": "+why)
			continue
		}
		t.rows = append(t.rows, []string{"  " + name, say.Digits(l.WebMM), fmt.Sprint(l.TurnDeg), fmt.Sprintf("%d x %d", l.Across, l.Around),
			say.Digits(l.RepeatMM), say.Fixed(l.YieldPercent, 1), say.Amount(l.WebGrossM), say.Amount(l.WebM2)})
	}
	if len(t.rows) > 0 {
		t.print(b)
	}
	for i := range r.Least {
		if l := &r.Least[i]; l.Fits && l.By == "laser" { // it stands in no table above
			l.strokes(b)
			warnings(b, []Layout{l.Layout})
		}
	}
	for _, text := range none {
		wrapped(b, "  ", text)
	}
}
