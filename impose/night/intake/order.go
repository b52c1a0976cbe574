package intake

import (
	"cmp"
	"errors"
	"io/fs"
	"math/big"
	"path/filepath"
	"slices"
	"strings"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/night"
)

// Order is one that is taken, with all that the planner needs to know of it.
type Order struct {
	*job.Order
	Index     int      // in the order file, from 0
	Stock     string   // kind of material: the order's, or the house's
	Forme     *Forme   // one for all orders that lie alike
	Ways      []*Forme // that the order may be printed with, Forme first
	PrintInks []string // that take a station, sorted; one that hits twice stands twice
	SHA256    string   // of the artwork; empty when it was not read
	Printed   int64    // labels that are made already, by an earlier plan of the same nights
	Limit     int64    // most labels that are taken; 0: any
	PerRoll   int64    // labels on a finished roll, as the order says or the house; 0: nobody says
	// RollFrames are those of one lane for a roll, where rolls are whole; 0: they
	// may end anywhere.
	RollFrames int64

	brings   *impose.Survey // of the artwork; nil when it was not read
	partRoll bool           // whole rolls would be more than the customer takes
}

// size returns the label as order or command line say it.
func (o *Order) size(r *night.Rules) geometry.Size {
	if (o.Label == geometry.Size{}) && o.Die == "" {
		return r.House.Label
	}
	return o.Label
}

// complete returns the order its inks, its forme and its limit, or says why it
// can't be taken.
func (o *Order) complete(r *night.Rules, f *formes, l look) *night.Note {
	label := o.size(r)
	known := label != geometry.Size{} || o.Die != ""
	switch {
	case l.err != nil && r.PlanOnly && known && errors.Is(l.err, fs.ErrNotExist):
		// The plan does without it.
	case l.err != nil:
		return night.RefuseFor(night.BadArtwork, night.AsOrdered(l.err, o.Order))
	case l.Survey != nil:
		o.PrintInks, o.SHA256, o.brings = slices.Clone(l.Inks), l.SHA256, l.Survey
		if !known {
			label = l.Label
		}
	case !r.PlanOnly:
		return night.Refuse(night.BadArtwork, "no artwork is named (name it in the order file's column artwork; -n plans without)")
	}
	if len(o.Inks) > 0 {
		o.PrintInks = impose.PrintingInks(r.House.Inks, o.Inks)
	}
	slices.Sort(o.PrintInks)
	if why := o.lie(r, f, label, l.Survey); why != nil {
		return why
	}
	if limit := cmp.Or(o.Overs, r.Overs); limit != nil {
		o.Limit = limitOf(o.Quantity, *limit)
	}
	o.reel(r)
	return nil
}

// mostStations returns the press that takes most inks.
func mostStations(r *night.Rules) *job.Press {
	press := r.House.Press
	for _, p := range r.Presses {
		if press != nil && p.Stations > press.Stations {
			press = p
		}
	}
	return press
}

// lie returns the order the forme that it takes alone and those that it may take in
// company. By money another press or web may serve where the house's don't.
func (o *Order) lie(r *night.Rules, f *formes, label geometry.Size, brings *impose.Survey) (why *night.Note) {
	o.Forme, why = f.of(o, label, brings)
	if why == nil {
		if _, err := r.House.Terms(len(o.PrintInks)); err != nil {
			if roomy := mostStations(r); roomy != r.House.Press && r.By == night.Money {
				j := *r.House
				j.Press = roomy
				if _, most := j.Terms(len(o.PrintInks)); most != nil {
					err = most // where none prints it, the one that comes nearest says so
				}
			}
			why = night.RefuseFor(night.BadInks, err)
		}
	}
	if why != nil && r.By != night.Money {
		return why
	}
	o.Ways = f.ways(o, label, brings, o.Forme)
	switch {
	case r.By != night.Money:
	case len(o.Ways) > 0:
		o.Forme, why = o.Ways[0], nil
	case why == nil: // the house's web would do, and is none of those that are to be had
		why = night.Refuse(night.NoWeb, "no press that takes its inks has a web in stock on which it lies (order web, or find it another die)")
	}
	return why
}

// limitOf returns the most labels within a share of overs, rounded down.
func limitOf(quantity int64, s geometry.Share) int64 {
	extra := new(big.Int).Mul(big.NewInt(quantity), big.NewInt(int64(s)))
	return quantity + extra.Quo(extra, big.NewInt(int64(geometry.Whole))).Int64()
}

// remarks says what a person should know of an order that is taken.
func (o *Order) remarks() []night.Note {
	var out []night.Note
	switch {
	case o.DrugLabel:
		out = append(out, night.NoteOn(o.ID, night.DrugLabel, "drug label, shares no frame (%s)", job.DrugLabelCaution))
	case o.Order.Alone:
		out = append(out, night.NoteOn(o.ID, night.RunsAlone, "alone, as the customer wishes"))
	}
	if o.partRoll {
		out = append(out, night.NoteOn(o.ID, night.PartRolls, "whole rolls would be more than the customer takes; its last roll is a part (allow more overs)"))
	}
	return append(out, o.long()...)
}

// SharesNoFrame reports whether the order runs by itself.
func (o *Order) SharesNoFrame() bool { return o.DrugLabel || o.Order.Alone }

// Title is what slugs and sheets call the order.
func (o *Order) Title() string {
	if o.Product != "" {
		return o.ID + " " + o.Product
	}
	if o.Artwork != "" {
		base := filepath.Base(o.Artwork)
		return o.ID + " " + strings.TrimSuffix(base, filepath.Ext(base))
	}
	return o.ID
}
