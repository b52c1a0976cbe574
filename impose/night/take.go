package night

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"golang.org/x/sync/errgroup"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/say"
)

// order is one that was taken: with its forme, its inks and its need.
type order struct {
	*job.Order
	at     int      // in the order file, from 0
	forme  *forme   //
	inks   []string // that take a station, sorted; one that hits twice stands twice
	source string   // SHA-256 of the artwork; empty when it was not read
	limit  int64    // most labels that are taken; 0: any
	roll   int64    // frames of one lane for a roll, where rolls are whole; 0: they may end anywhere
	// partRoll says that whole rolls would be more than the customer takes.
	partRoll bool
}

// intake is what came of the orders.
type intake struct {
	orders             []*order
	left, later, words []Note
}

// take looks at every order: whether it is for this night, what its artwork
// brings, how it lies on the web.
func take(ctx context.Context, all []job.Order, r *Rules) (*intake, error) {
	var in intake
	var mine []*order
	materials := newSpellings(r)
	for i := range all {
		o := &order{Order: materials.respelt(&all[i]), at: i}
		if due := o.Due; !r.Day.IsZero() && !due.IsZero() {
			if due.After(r.Day.AddDate(0, 0, r.Early)) {
				in.later = append(in.later, Note{o.ID, NotYet, "due on " + due.Format(time.DateOnly)})
				continue
			}
			if due.Before(r.Day) {
				in.words = append(in.words, Note{o.ID, Late, "due on " + due.Format(time.DateOnly) + ", before this night"})
			}
		}
		mine = append(mine, o)
	}
	looks, err := lookAt(ctx, mine, r)
	if err != nil {
		return nil, err
	}
	formes, inkless := newFormes(r), 0
	for i, o := range mine {
		why := o.complete(r, formes, looks[i])
		if why != nil {
			in.left = append(in.left, Note{o.ID, why.code, why.text})
			continue
		}
		in.orders = append(in.orders, o)
		in.words = append(in.words, o.words()...)
		if len(o.inks) == 0 {
			inkless++
		}
	}
	if open := openTurns(in.orders, r); open > 0 {
		in.words = append(in.words, Note{"", TurnOpen, fmt.Sprintf("nothing decides the turn of %s: each label lies as it takes the least web alone, "+
			"and more may share a run where all stand alike (say --turn, or a winding)", say.Count(open, "order"))})
	}
	if len(all) == 0 {
		in.words = append(in.words, Note{"", NoOrders, "the order file lists no orders (write one on each line below the header)"})
	}
	if inkless > 0 {
		in.words = append(in.words, Note{"", NoInks, fmt.Sprintf("the inks of %s are not known; they count as printed at full speed", say.Count(inkless, "order"))})
	}
	return &in, nil
}

// look is what was found in an order's artwork.
type look struct {
	*impose.Survey // nil when it was not read
	err            error
}

// lookAt reads the artworks on all cores, each page once.
func lookAt(ctx context.Context, orders []*order, r *Rules) ([]look, error) {
	type page struct {
		path   string
		number int
		label  geometry.Size
	}
	var pages []page
	at := map[page]int{}
	of := make([]int, len(orders))
	for i, o := range orders {
		of[i] = -1
		if !o.needsArtwork(r) {
			continue
		}
		p := page{o.ArtworkPath(), o.Page, o.size(r)}
		if _, ok := at[p]; !ok {
			at[p] = len(pages)
			pages = append(pages, p)
		}
		of[i] = at[p]
	}
	found := make([]look, len(pages))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, p := range pages {
		g.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			j := *r.House
			j.Dir, j.Label = "", p.label
			j.Artworks = []job.Artwork{{File: p.path, Page: p.number}}
			found[i].Survey, found[i].err = impose.SurveyArtworks(ctx, &j)
			return ctx.Err()
		})
		r.tell("artworks", i, len(pages))
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	looks := make([]look, len(orders))
	for i, k := range of {
		if k >= 0 {
			looks[i] = found[k]
		}
	}
	return looks, nil
}

// needsArtwork reports whether the order's artwork is read: always when runs are
// to be written, otherwise where the plan depends on it.
func (o *order) needsArtwork(r *Rules) bool {
	if !r.PlanOnly && o.Artwork != "" {
		return true
	}
	sized := o.size(r) != geometry.Size{} || o.Die != ""
	return o.Artwork != "" && !(sized && len(o.Inks) > 0)
}

// size gives the label as order or command line say it.
func (o *order) size(r *Rules) geometry.Size {
	if (o.Label == geometry.Size{}) && o.Die == "" {
		return r.House.Label
	}
	return o.Label
}

// complete gives the order its inks, its forme and its limit, or says why it
// can't be taken.
func (o *order) complete(r *Rules, f *formes, l look) *refusal {
	label := o.size(r)
	known := label != geometry.Size{} || o.Die != ""
	switch {
	case l.err != nil && r.PlanOnly && known && errors.Is(l.err, fs.ErrNotExist):
		// The plan does without it.
	case l.err != nil:
		why := refuse(BadArtwork, l.err)
		why.text = asOrdered(why.text, o.Order)
		return why
	case l.Survey != nil:
		o.inks, o.source = slices.Clone(l.Inks), l.SHA256
		if !known {
			label = l.Label
		}
	case !r.PlanOnly:
		return &refusal{BadArtwork, "no artwork is named (name it in the order file's column artwork; -n plans without)"}
	}
	if len(o.Inks) > 0 {
		o.inks = impose.PrintingInks(r.House.Inks, o.Inks)
	}
	slices.Sort(o.inks)
	var why *refusal
	if o.forme, why = f.of(o.Order, label); why != nil {
		return why
	}
	if _, err := r.House.RunTerms(len(o.inks)); err != nil {
		return refuse(BadInks, err)
	}
	if limit := o.oversLimit(r); limit != nil {
		o.limit = limitOf(o.Quantity, *limit)
	}
	o.reel(r)
	return nil
}

// oversLimit gives the share of overs that the customer takes.
func (o *order) oversLimit(r *Rules) *geometry.Share {
	if o.Overs != nil {
		return o.Overs
	}
	return r.Overs
}

// limitOf gives the most labels within a share of overs, rounded down.
func limitOf(quantity int64, s geometry.Share) int64 {
	extra := new(big.Int).Mul(big.NewInt(quantity), big.NewInt(int64(s)))
	return quantity + extra.Quo(extra, big.NewInt(int64(geometry.Whole))).Int64()
}

// words says what a person should know of an order that is taken.
func (o *order) words() []Note {
	var out []Note
	switch {
	case o.DrugLabel:
		out = append(out, Note{o.ID, DrugLabel, "drug label, shares no frame (" + job.DrugLabelCaution + ")"})
	case o.Order.Alone:
		out = append(out, Note{o.ID, RunsAlone, "alone, as the customer wishes"})
	}
	if o.partRoll {
		out = append(out, Note{o.ID, PartRolls, "whole rolls would be more than the customer takes; its last roll is a part (allow more overs)"})
	}
	return append(out, o.long()...)
}

// alone reports whether the order shares no frame.
func (o *order) alone() bool { return o.DrugLabel || o.Order.Alone }

// name is what slugs and sheets call the order.
func (o *order) name() string {
	if o.Product != "" {
		return o.ID + " " + o.Product
	}
	if o.Artwork != "" {
		base := filepath.Base(o.Artwork)
		return o.ID + " " + strings.TrimSuffix(base, filepath.Ext(base))
	}
	return o.ID
}
