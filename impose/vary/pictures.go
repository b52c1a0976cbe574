package vary

import (
	"fmt"

	"quoin/geometry"
	"quoin/impose/data"
	"quoin/impose/draw"
	"quoin/impose/say"
)

// labelTolerance is how far the artwork of a record may differ from the label:
// what a page loses where its lengths are written in whole points by some makers,
// a hundredth of one, and more; common practice, no source.
const labelTolerance = 100 * geometry.Micrometre

// picture finds what a record names, for a room or, without one, as a page.
func (p *Request) picture(name string, room *Room) (Picture, error) {
	found, ok := p.Pictures[Named{Name: name}]
	if !ok && room != nil {
		found, ok = p.Pictures[Named{name, *room}]
	}
	if !ok {
		return found, fmt.Errorf("%q is none of the pages that were read when the run began", say.Clip(name, 200))
	}
	return found, nil
}

// checkPicture refuses a page that is larger than its room: pages are never scaled.
func (s *setters) checkPicture(f *field) error {
	p, err := s.plan.picture(string(s.value), f.Picture)
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
	p, err := s.plan.picture(string(s.value), f.Picture)
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
	used map[int]bool // the artworks by their numbers, all of them after the scan
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
	r.own = &ownArtwork{name: t, used: map[int]bool{}}
	return nil
}

// stand finds where the job's own artwork stands at each station.
func (o *ownArtwork) stand(r *Run) error {
	var err error
	o.base, err = changeBases(r)
	return err
}

// check refuses an artwork of another size than the label's.
func (o *ownArtwork) check(p *Request, values []string) error {
	name := string(o.name.Append(nil, values))
	found, err := p.picture(name, nil)
	if err != nil {
		return err
	}
	o.used[found.Art] = true
	return p.asLabel(found, name)
}

// place returns the artwork of a record at a station.
func (o *ownArtwork) place(p *Request, station int, values []string) (draw.Item, error) {
	found, err := p.picture(string(o.name.Append(nil, values)), nil)
	at := o.base[station]
	at.Art = found.Art
	return at, err
}
