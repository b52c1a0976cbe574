package night

import (
	"context"
	"encoding/json"
	"fmt"
	"io"

	"quoin/geometry/gang"
	"quoin/impose/night/folder"
)

// draft is what a search found, kept while the night is built so that a second
// start doesn't search again.
type draft struct {
	Groups []draftGroup
	Left   []Note
}

// draftGroup names its orders by their places in the order file.
type draftGroup struct {
	Orders []int
	Plan   gang.Plan
	Bounds gang.Bounds
}

const draftName = ".draft"

// planned gives the groups with their plans: those of an earlier start, or else
// those that the search finds, which the folder keeps for a later start.
func planned(ctx context.Context, in *intake, r *Rules, f *folder.Folder) ([]*group, []Note, error) {
	if d := readDraft(f); d != nil {
		if groups, err := d.groups(in, r); err == nil {
			return groups, d.Left, nil
		}
	}
	groups, err := groupUp(in.orders, r)
	if err != nil {
		return nil, nil, err
	}
	groups, left := search(ctx, merge(ctx, groups, r), r)
	if err := ctx.Err(); err != nil || f == nil {
		return groups, left, err
	}
	d := draft{Left: left}
	for _, g := range groups {
		x := draftGroup{Plan: g.plan, Bounds: g.bounds}
		for _, o := range g.orders {
			x.Orders = append(x.Orders, o.at)
		}
		d.Groups = append(d.Groups, x)
	}
	_, err = f.Write(draftName, func(w io.Writer) error { return json.NewEncoder(w).Encode(d) })
	return groups, left, err
}

func readDraft(f *folder.Folder) *draft {
	if f == nil || f.Sum(draftName) == "" {
		return nil
	}
	file, err := f.Open(draftName)
	if err != nil {
		return nil
	}
	defer file.Close()
	var d draft
	if json.NewDecoder(file).Decode(&d) != nil {
		return nil
	}
	return &d
}

// groups puts the orders back into the groups of the draft.
func (d *draft) groups(in *intake, r *Rules) ([]*group, error) {
	at := map[int]*order{}
	for _, o := range in.orders {
		at[o.at] = o
	}
	var out []*group
	for _, x := range d.Groups {
		g := &group{plan: x.Plan, bounds: x.Bounds}
		for _, i := range x.Orders {
			o := at[i]
			if o == nil {
				return nil, fmt.Errorf("the draft names order %d", i)
			}
			g.orders = append(g.orders, o)
			g.inks = union(g.inks, o.inks)
			g.material, g.forme, g.roll = material(r, o.Order), o.forme, o.roll
		}
		if err := g.price(r); err != nil {
			return nil, err
		}
		p, left := g.problem(r)
		if len(left) > 0 {
			return nil, fmt.Errorf("the draft holds orders that can't be planned")
		}
		if err := g.plan.Check(&p); err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	return out, nil
}
