package vary

import (
	"errors"
	"fmt"
	"strconv"

	"quoin/impose/draw"
	"quoin/impose/say"
)

// ChangeOver is what stands between two rolls of a lane, so that whoever winds
// them sees where one ends: labels of their own, which have no record, and which
// nobody gets as product.
type ChangeOver struct {
	Labels  int64  // between two rolls
	Artwork string // one of the plan's pictures; "": none
	// Fields are texts whose templates name ChangeOverNames. A symbol is refused: a
	// scanner would take the label for a product.
	Fields []Field
}

// ChangeOverNames are the values that the texts of a change-over label may show:
// the lane on the press, the roll that ends, the one that begins, how many rolls
// the lane makes, and the first and last record of the roll that ends, in the
// order in which its label's user sees them. Rolls count as in the ledger.
var ChangeOverNames = []string{"lane", "roll", "next", "rolls", "first", "last"}

// changeOver is a plan's change-over labels, checked.
type changeOver struct {
	fields fieldSet
	art    *Picture     // nil for none
	base   []draw.Place // by station: where the job's own artwork stands
}

// newChangeOver checks what can be known before the records are.
func newChangeOver(r *Run) error {
	p := r.plan.ChangeOver
	if p == nil {
		return nil
	}
	wrong := func(way, format string, args ...any) error {
		return fieldFault("change-over", way, fmt.Errorf(format, args...))
	}
	switch {
	case p.Labels < 1:
		return wrong("say how many, as 2", "%d labels stand between two rolls", p.Labels)
	case r.plan.PerRoll == 0:
		return wrong("say roll: {labels: 1000}", "how many labels a roll has is not said")
	}
	r.change = &changeOver{}
	for _, f := range p.Fields {
		if f.Letters == nil {
			return wrong("print what a person reads", "field %s is no text: a scanner would take the label for a product", f.Name)
		}
		added, err := r.newField(f, ChangeOverNames)
		if err != nil {
			return err
		}
		r.change.fields = append(r.change.fields, added)
	}
	if p.Artwork == "" {
		return nil
	}
	art, err := r.plan.picture(p.Artwork, nil)
	if err != nil {
		return wrong("", "%w", err)
	}
	r.change.art = &art
	return r.plan.asLabel(art, p.Artwork)
}

// standChangeOver checks the texts of all change-over labels, which the order of
// the records decides, and where they stand.
func standChangeOver(r *Run) error {
	c := r.change
	if c == nil {
		return nil
	}
	r.Order.Change = r.plan.ChangeOver.Labels
	if c.art != nil {
		var err error
		if c.base, err = changeBases(r); err != nil {
			return err
		}
	}
	if err := r.checkPlaces(c.fields); err != nil {
		return err
	}
	s, err := newSettersOf(r, c.fields)
	if err != nil {
		return err
	}
	for lane := range r.Order.Lanes {
		for roll := int64(1); roll < r.Order.Rolls(lane); roll++ {
			for i, f := range c.fields {
				if _, err := s.measure(i, changeValues(r, lane, roll)); err != nil {
					return fieldFault("change-over, "+f.Name, "", err)
				}
			}
		}
	}
	r.fonts = mergeFonts(r.fonts, s.fonts)
	return nil
}

// changeValues returns the values that the change-over label behind a roll may show.
func changeValues(r *Run, lane int, roll int64) []string {
	first, last := r.Order.onRoll(lane, roll)
	list := []string{strconv.Itoa(r.Order.Lanes[lane])}
	for _, n := range []int64{roll, roll + 1, r.Order.Rolls(lane), r.record(first), r.record(last)} {
		list = append(list, strconv.FormatInt(n, 10))
	}
	return list
}

// frameChanges sets the change-over labels of a frame.
func (s *setters) frameChanges(r *Run, job *frameJob) error {
	s.pen.Reset()
	s.places = nil
	for j := range r.stations {
		if job.is[j] != changing {
			continue
		}
		at := &r.stations[j]
		if r.change.art != nil {
			item := r.change.base[j]
			item.Art = r.change.art.Art
			s.places = append(s.places, item)
		}
		values := changeValues(r, at.lane, r.Order.Roll(job.frame, at.lane, at.Row-1))
		for i, f := range s.fields {
			if err := s.set(i, values, at); err != nil {
				return fieldFault("change-over, "+f.Name, "", err)
			}
		}
	}
	return nil
}

// mergeFonts adds fonts that a list has not.
func mergeFonts(list, more []*draw.Font) []*draw.Font {
	s := setters{fonts: list}
	for _, f := range more {
		s.use(f)
	}
	return s.fonts
}

// changeBases finds where the job's own artwork stands at each station.
func changeBases(r *Run) (list []draw.Place, err error) {
	at := map[any]draw.Place{}
	for _, item := range r.plan.Items {
		if p, ok := item.(draw.Place); ok {
			at[p.Trim] = p
		}
	}
	for _, s := range r.stations {
		p, ok := at[s.Trim]
		if !ok {
			return nil, fmt.Errorf("lane %d, row %d carries no artwork that another could take the place of", s.Lane, s.Row)
		}
		list = append(list, p)
	}
	return list, nil
}

// asLabel refuses an artwork of another size than the label's.
func (p *Request) asLabel(found Picture, name string) error {
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

var errNoLane = errors.New("no lane carries the label")
