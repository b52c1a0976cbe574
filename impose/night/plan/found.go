package plan

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"quoin/geometry/gang"
	"quoin/impose/night"
	"quoin/impose/night/folder"
	"quoin/impose/night/intake"
)

// found is what a search found, kept while the night is built so that a second
// start doesn't search again.
type found struct {
	Groups  []foundGroup
	LeftOut []night.Note
	Waits   []int // orders that gain nothing tonight, by their places in the order file
}

// foundGroup names its orders by their places in the order file.
type foundGroup struct {
	Orders []int
	Plan   gang.Plan
	Bounds gang.Bounds
}

const foundName = ".found"

// solve returns the groups with their plans: those that an earlier start found,
// or else those that the search finds, which the folder keeps for a later start.
func solve(ctx context.Context, in *intake.Taken, r *night.Rules, f *folder.Folder) ([]*group, []night.Note, error) {
	if d := readFound(f); d != nil {
		if groups, err := d.groups(in, r); err == nil {
			in.Wait(d.Waits)
			return groups, d.LeftOut, nil
		}
	}
	groups, err := groupUp(in.Orders, r)
	if err != nil {
		return nil, nil, err
	}
	groups, waits, err := gaining(ctx, groups, in.Early, r)
	if err != nil {
		return nil, nil, err
	}
	in.Wait(waits)
	groups, left := search(ctx, merge(ctx, groups, r), r)
	if err := ctx.Err(); err != nil || f == nil {
		return groups, left, err
	}
	d := found{LeftOut: left, Waits: waits}
	for _, g := range groups {
		x := foundGroup{Plan: g.plan, Bounds: g.bounds}
		for _, o := range g.orders {
			x.Orders = append(x.Orders, o.Index)
		}
		d.Groups = append(d.Groups, x)
	}
	_, err = f.Write(foundName, func(w io.Writer) error { return json.NewEncoder(w).Encode(d) })
	return groups, left, err
}

func readFound(f *folder.Folder) *found {
	if f == nil || f.Sum(foundName) == "" {
		return nil
	}
	file, err := f.Open(foundName)
	if err != nil {
		return nil
	}
	defer file.Close()
	var d found
	if json.NewDecoder(file).Decode(&d) != nil {
		return nil
	}
	return &d
}

// groups puts the orders back into the groups that were found.
func (d *found) groups(in *intake.Taken, r *night.Rules) ([]*group, error) {
	at := map[int]*intake.Order{}
	for _, o := range in.Orders {
		at[o.Index] = o
	}
	var out []*group
	for _, x := range d.Groups {
		if len(x.Orders) == 0 {
			return nil, errors.New("the kept search has a group of no orders")
		}
		orders := make([]*intake.Order, len(x.Orders))
		for k, i := range x.Orders {
			if orders[k] = at[i]; orders[k] == nil {
				return nil, fmt.Errorf("the kept search names order %d", i)
			}
		}
		g, err := newGroup(orders, r)
		if err != nil {
			return nil, err
		}
		g.plan, g.bounds = x.Plan, x.Bounds
		p, left := g.problem(r)
		if len(left) > 0 {
			return nil, errors.New("the kept search holds orders that can't be planned")
		}
		if err := g.plan.Check(&p); err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	return out, nil
}
