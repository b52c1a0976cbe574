package vary

import (
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/data"
	"quoin/impose/draw"
	"quoin/impose/say"
)

// labelTolerance is how far the artwork of a record may differ from the label:
// what a page loses where its lengths are written in whole points by some makers,
// a hundredth of one, and more; common practice, no source.
const labelTolerance = 100 * geometry.Micrometre

// picture finds what a record names.
func (p *Plan) picture(name string) (Picture, error) {
	found, ok := p.Pictures[name]
	if !ok {
		return found, fmt.Errorf("%q is none of the pages that were read when the run began", say.Clip(name, 200))
	}
	return found, nil
}

// checkPicture refuses a page that is larger than its room: pages are never scaled.
func (s *setters) checkPicture(f *field) error {
	p, err := s.plan.picture(string(s.value))
	if err != nil {
		return err
	}
	if room := f.Picture; p.Size.Across > room.Width || p.Size.Around > room.Height {
		return say.Refuse(say.Failed, "enlarge its room, or make the page smaller: it is never scaled", "the page %s of %s doesn't go into %s x %s", say.Clip(string(s.value), 200), p.Size, room.Width, room.Height)
	}
	return nil
}

// setPicture adds the page of a record in the middle of its field.
func (s *setters) setPicture(f *field, at *station) error {
	p, err := s.plan.picture(string(s.value))
	if err != nil {
		return err
	}
	room, size := f.box(f.modules), p.Size
	if f.Turn.Swaps() {
		size.Across, size.Around = size.Around, size.Across
	}
	middle := geometry.BoxAt(geometry.Position{
		Across: room.Min.Across + (room.Size().Across-size.Across)/2, Around: room.Min.Around + (room.Size().Around-size.Around)/2,
	}, size)
	s.places = append(s.places, draw.Place{Art: p.Art, Trim: at.box(middle), Turn: at.Turn.Plus(f.Turn), Clip: draw.Rectangle(at.box(room))})
	return nil
}

// ownArtwork is the artwork that each record names for itself.
type ownArtwork struct {
	name *data.Template
	base []draw.Place // by station: where the job's own stands
}

func (r *Run) newOwnArtwork() error {
	p := &r.plan
	if p.Artwork == "" {
		return nil
	}
	t, err := data.ParseTemplate(p.Artwork, p.Records.Names)
	if err != nil {
		return fieldFault("artwork", "", err)
	}
	r.own = &ownArtwork{name: t}
	return nil
}

// stand finds where the job's own artwork stands at each station.
func (o *ownArtwork) stand(r *Run) error {
	for _, s := range r.stations {
		i := slices.IndexFunc(r.plan.Items, func(item draw.Item) bool {
			p, ok := item.(draw.Place)
			return ok && p.Trim == s.Trim
		})
		if i < 0 {
			return fmt.Errorf("lane %d, row %d carries no artwork that another could take the place of", s.Lane, s.Row)
		}
		o.base = append(o.base, r.plan.Items[i].(draw.Place))
	}
	return nil
}

// check refuses an artwork of another size than the label's.
func (o *ownArtwork) check(p *Plan, values []string) error {
	name := string(o.name.Append(nil, values))
	found, err := p.picture(name)
	if err != nil {
		return err
	}
	label := p.Layout.Station[0].Trim.Size()
	if p.Layout.Station[0].Turn.Swaps() {
		label.Across, label.Around = label.Around, label.Across
	}
	across, around := found.Size.Across-label.Across, found.Size.Around-label.Around
	if max(across, -across, around, -around) > labelTolerance {
		return say.Refuse(say.Failed, "give it the label's size: an artwork is never scaled", "the artwork %s is %s, and the label %s", say.Clip(name, 200), found.Size, label)
	}
	return nil
}

// place gives the artwork of a record at a station.
func (o *ownArtwork) place(p *Plan, station int, values []string) (draw.Item, error) {
	found, err := p.picture(string(o.name.Append(nil, values)))
	at := o.base[station]
	at.Art = found.Art
	return at, err
}
