// Package intake reads a night's orders: which are for this night, what their
// artworks bring, how their labels lie on the web. What it takes, the planner
// can plan; the rest comes back with its reasons.
package intake

import (
	"cmp"
	"context"
	"os"
	"runtime"
	"slices"
	"time"

	"golang.org/x/sync/errgroup"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/say"
)

// Taken is what came of an order file's orders.
type Taken struct {
	Orders  []*Order
	LeftOut []night.Note // that can't be planned, with the reason
	Later   []night.Note // that wait for a later night
	Remarks []night.Note // on those that are taken, and on what is wrong with later ones
	// Early are those of the orders that are due after the night's day: they are
	// printed where that gains, and otherwise wait.
	Early map[*Order]bool
}

// Take looks at every order: whether it is for this night, what its artwork
// brings, how it lies on the web. Orders for a later night are looked at as well,
// so that what is wrong with them is known when they arrive and not in the night
// that they are due. The error is that of a cancelled context.
func Take(ctx context.Context, all []job.Order, r *night.Rules) (*Taken, error) {
	in := Taken{Early: map[*Order]bool{}}
	var mine []*Order
	materials := newSpellings(r)
	for i := range all {
		o := &Order{Order: materials.respelt(&all[i]), Index: i}
		o.Stock = cmp.Or(o.Material, r.House.Material.Kind)
		if slices.Contains(r.Pins.TakenOut, o.ID) {
			in.Remarks = append(in.Remarks, night.NoteOn(o.ID, night.TakenOut, "taken out of the night"))
			continue
		}
		if slices.Contains(r.Without, o.ID) {
			in.Later = append(in.Later, night.NoteOn(o.ID, night.HeldBack, "held back"))
			continue
		}
		if due := o.Due; !r.Day.IsZero() && !due.IsZero() && due.Before(r.Day) {
			in.Remarks = append(in.Remarks, night.NoteOn(o.ID, night.Late, "due on %s, before this night", due.Format(time.DateOnly)))
		}
		mine = append(mine, o)
	}
	unknown := func(ids []string, code, what string) {
		for _, id := range ids {
			if !slices.ContainsFunc(all, func(o job.Order) bool { return o.ID == id }) {
				in.Remarks = append(in.Remarks, night.NoteOn(id, code, "is to be %s, and no order has that number", what))
			}
		}
	}
	unknown(r.Without, night.HeldBack, "held back")
	unknown(r.Pins.TakenOut, night.TakenOut, "taken out")
	looks, err := lookAt(ctx, mine, r)
	if err != nil {
		return nil, err
	}
	formes, inkless := newFormes(r), 0
	named := slices.ContainsFunc(all, func(o job.Order) bool { return o.Artwork != "" })
	for i, o := range mine {
		why := o.complete(r, formes, looks[i])
		if o.later(r, r.Early+max(r.Nights, 1)-1) {
			in.Later = append(in.Later, o.waits())
			switch {
			case why == nil && r.PlanOnly && named:
				in.Remarks = append(in.Remarks, o.artworkMissing()...)
			case why != nil:
				in.Remarks = append(in.Remarks, night.NoteOn(o.ID, night.LaterFault, "waits for a later night, but can't be taken as it stands: %s", why.Text))
			}
			continue
		}
		if why != nil {
			in.LeftOut = append(in.LeftOut, why.Of(o.ID))
			continue
		}
		in.Orders = append(in.Orders, o)
		if o.later(r, max(r.Nights, 1)-1) {
			in.Early[o] = true
		}
		in.Remarks = append(in.Remarks, o.remarks()...)
		if r.PlanOnly && named {
			in.Remarks = append(in.Remarks, o.artworkMissing()...)
		}
		if len(o.PrintInks) == 0 {
			inkless++
		}
	}
	if open := openTurns(in.Orders, r); open > 0 {
		in.Remarks = append(in.Remarks, night.NoteOn("", night.TurnOpen, "nothing decides the turn of %s: each label lies as it takes the least web alone, "+
			"and more may share a run where all stand alike (say --turn, or a winding)", say.Count(open, "order")))
	}
	if len(all) == 0 {
		in.Remarks = append(in.Remarks, night.NoteOn("", night.NoOrders, "the order file lists no orders (write one on each line below the header)"))
	}
	if inkless > 0 {
		in.Remarks = append(in.Remarks, night.NoteOn("", night.NoInks, "the inks of %s are not known; they count as printed at full speed", say.Count(inkless, "order")))
	}
	return &in, nil
}

// later reports whether the order is due more than so many days after the night.
func (o *Order) later(r *night.Rules, days int) bool {
	return !r.Day.IsZero() && !o.Due.IsZero() && o.Due.After(r.Day.AddDate(0, 0, days))
}

// waits says that the order is for a later night.
func (o *Order) waits() night.Note {
	return night.NoteOn(o.ID, night.NotYet, "due on %s", o.Due.Format(time.DateOnly))
}

// Wait puts orders off to a later night, by their places in the order file.
func (t *Taken) Wait(places []int) {
	var kept []*Order
	names := map[string]bool{}
	for _, o := range t.Orders {
		if !slices.Contains(places, o.Index) {
			kept = append(kept, o)
			continue
		}
		names[o.ID] = true
		n := o.waits()
		n.Text += ", and gains nothing by being printed early"
		t.Later = append(t.Later, n)
	}
	t.Orders = kept
	t.Remarks = slices.DeleteFunc(t.Remarks, func(n night.Note) bool { return names[n.Order] && !n.Warns() })
}

// artworkMissing says of an order that is planned without its artwork that the
// night could not be built with it.
func (o *Order) artworkMissing() []night.Note {
	if o.Artwork == "" {
		return []night.Note{night.NoteOn(o.ID, night.NoArtwork, "no artwork is named: the plan does without, the build will leave the order out")}
	}
	if _, err := os.Stat(o.ArtworkPath()); err != nil {
		return []night.Note{night.NoteOn(o.ID, night.NoArtwork, "%s: no such file: the plan does without, the build will leave the order out", o.Artwork)}
	}
	return nil
}

// openTurns counts the orders that might share a band and whose turn nothing
// decides: labels that lie differently have other lengths around.
func openTurns(orders []*Order, r *night.Rules) int {
	open := 0
	for _, o := range orders {
		j := *r.House
		j.Winding = cmp.Or(o.Winding, j.Winding)
		if r.Widths && !o.SharesNoFrame() && len(j.Request().Turns) > 1 {
			open++
		}
	}
	return open
}

// look is what was found in an order's artwork.
type look struct {
	*impose.Survey // nil when it was not read
	err            error
}

// lookAt reads the artworks on all cores, each page once.
func lookAt(ctx context.Context, orders []*Order, r *night.Rules) ([]look, error) {
	type page struct {
		path   string
		number int
		label  geometry.Size

		password, leave string
	}
	var pages []page
	at := map[page]int{}
	of := make([]int, len(orders))
	for i, o := range orders {
		of[i] = -1
		if !o.needsArtwork(r) {
			continue
		}
		p := page{o.ArtworkPath(), o.Page, o.size(r), o.Password, o.PermittedBy}
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
			j.Artworks = []job.Artwork{{File: p.path, Page: p.number, Password: p.password, PermittedBy: p.leave}}
			found[i].Survey, found[i].err = impose.SurveyArtworks(ctx, &j)
			return ctx.Err()
		})
		r.Progress("artworks", i, len(pages))
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
func (o *Order) needsArtwork(r *night.Rules) bool {
	if !r.PlanOnly && o.Artwork != "" {
		return true
	}
	sized := o.size(r) != geometry.Size{} || o.Die != ""
	return o.Artwork != "" && !(sized && len(o.Inks) > 0)
}
