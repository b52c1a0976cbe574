package plan

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

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
	Joint   joint
	Days    *Days
	Waits   []int // orders that gain nothing tonight, by their places in the order file
}

// foundGroup names its orders by their places in the order file, and how each
// lies by its place among the ways to print it.
type foundGroup struct {
	Orders []int
	Ways   []int
	Roll   int64 // frames of a lane that its runs are a multiple of, for whole rolls; 0: any
	Plan   gang.Plan
	Bounds gang.Bounds
}

const foundName = ".found"

// solve returns the groups with their plans: those that an earlier start found,
// or else those that the search finds, which the folder keeps for a later start.
func solve(ctx context.Context, in *intake.Taken, r *night.Rules, f *folder.Folder) (*picked, error) {
	if d := readFound(f); d != nil {
		if groups, err := d.groups(in, r); err == nil {
			in.Wait(d.Waits)
			return &picked{groups: groups, left: d.LeftOut, joint: d.Joint, days: d.Days}, nil
		}
	}
	waits, err := waiting(ctx, in, r)
	if err != nil {
		return nil, err
	}
	in.Wait(waits)
	c, err := pick(ctx, in.Orders, r)
	if err == nil {
		c.beat(in, r)
		for _, better := range []func() error{
			func() error { return c.sparing(ctx, in, r) },
			func() error { return c.outdo(ctx, in, r) },
			func() error { return c.keepDays(ctx, nil, in, r) },
		} {
			if err = better(); err != nil {
				break
			}
		}
	}
	if err != nil || f == nil {
		return c, err
	}
	d := found{LeftOut: c.left, Joint: c.joint, Days: c.days, Waits: waits}
	ways := map[int][]*intake.Forme{} // all of each order: those of a group's may be fewer
	for _, o := range in.Orders {
		ways[o.Index] = o.Ways
	}
	for _, g := range c.groups {
		x := foundGroup{Roll: g.roll, Plan: g.plan, Bounds: g.bounds}
		for _, o := range g.orders {
			x.Orders = append(x.Orders, o.Index)
			x.Ways = append(x.Ways, slices.Index(ways[o.Index], o.Forme))
		}
		d.Groups = append(d.Groups, x)
	}
	_, err = f.Write(foundName, func(w io.Writer) error { return json.NewEncoder(w).Encode(d) })
	return c, err
}

// beat takes the other plan that costs least, where one costs less with all that
// the order of the runs and their rolls add.
func (c *picked) beat(in *intake.Taken, r *night.Rules) {
	lists := [][]*group{c.groups}
	for _, groups := range c.others {
		if len(overdrawn(groups)) == 0 {
			lists = append(lists, groups)
		}
	}
	if len(lists) == 1 {
		return
	}
	costs := make([]int64, len(lists))
	onAllCores(len(lists), func(i int) {
		other := *c
		other.groups = lists[i]
		costs[i] = *lay(&other, in, r).Total.Money
	})
	c.groups = lists[slices.Index(costs, slices.Min(costs))]
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
		if len(x.Orders) == 0 || len(x.Ways) != len(x.Orders) {
			return nil, errors.New("the kept search has a group of no orders")
		}
		orders := make([]*intake.Order, len(x.Orders))
		for k, i := range x.Orders {
			if orders[k] = at[i]; orders[k] == nil {
				return nil, fmt.Errorf("the kept search names order %d", i)
			}
			if way := x.Ways[k]; way >= 0 && way < len(orders[k].Ways) {
				orders[k] = orders[k].On(orders[k].Ways[way], r)
			}
		}
		orders = inRolls(orders, x.Roll)
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
