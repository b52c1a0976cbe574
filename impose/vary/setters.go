package vary

import (
	"errors"
	"fmt"
	"slices"

	"quoin/impose/barcode"
	"quoin/impose/draw"
	"quoin/impose/gs1"
	"quoin/impose/say"
)

// setters set the fields of one label after another. Each goroutine has its
// own.
type setters struct {
	fields   []*field
	letters  []*setter          // by field; nil for others
	shaped   []*shaped          // by field; nil for others
	encoders []*barcode.Encoder // by field; nil for letters
	pen      barcode.Pen
	value    []byte
	fonts    []*draw.Font // used by what was measured
	plan     *Request
	own      *ownArtwork
	places   []draw.Item // pages that the records name
}

func newSetters(r *Run) (*setters, error) { return newSettersOf(r, r.fields) }

func newSettersOf(r *Run, fields []*field) (*setters, error) {
	s := &setters{fields: fields, plan: &r.plan, own: r.own, letters: make([]*setter, len(fields)), shaped: make([]*shaped, len(fields)), encoders: make([]*barcode.Encoder, len(fields))}
	for i, f := range fields {
		var err error
		if f.Picture != nil {
			continue
		}
		if f.Letters != nil && len(f.Letters.Fonts) > 0 {
			s.shaped[i] = newShaped(f.Letters)
		} else if f.Letters != nil {
			s.letters[i], err = newSetter(f.Letters)
		} else {
			s.encoders[i], err = barcode.NewEncoder(f.Symbol.Kind, barcode.Options{Level: f.Symbol.Level, Least: f.Symbol.Modules, Rectangular: f.Symbol.Rectangular})
			if err == nil {
				s.encoders[i].GrowTo(f.modules)
			}
		}
		if err != nil {
			return nil, fieldFault(f.Name, "", err)
		}
	}
	return s, nil
}

// measure checks one field of a record without drawing it, and gives how large a
// symbol is.
func (s *setters) measure(i int, values []string) (size barcode.Extent, err error) {
	f := s.fields[i]
	list, err := s.fill(f, values)
	if err != nil {
		return size, err
	}
	if f.Picture != nil {
		return size, s.checkPicture(f)
	}
	if _, err := s.paint(f, values); err != nil {
		return size, err
	}
	if s.shaped[i] != nil {
		l, err := s.shaped[i].fit(s.value)
		l.note()
		for _, font := range s.shaped[i].fonts() {
			s.use(font)
		}
		return size, err
	}
	if f.Letters != nil {
		s.pen.Reset()
		l, err := s.letters[i].fit(s.value, &s.pen)
		for _, r := range l.runs {
			s.use(r.font)
		}
		return size, err
	}
	for _, font := range f.size.Fonts() {
		s.use(font)
	}
	if f.Symbol.Kind.Linear() && !f.Symbol.Plain {
		if err := barcode.CanShow(string(s.value)); err != nil {
			return size, err
		}
	}
	if list != nil {
		return s.encoders[i].MeasureElements(list)
	}
	return s.encoders[i].Measure(string(s.value))
}

// fill puts a record's text of a field into value, and gives the elements where
// the symbol takes those.
func (s *setters) fill(f *field, values []string) (list []gs1.Element, err error) {
	s.value, err = f.append(s.value[:0], values)
	if err == nil && f.holdsElements() {
		list = f.list(values)
	}
	return list, err
}

func (s *setters) use(f *draw.Font) {
	if !slices.Contains(s.fonts, f) {
		s.fonts = append(s.fonts, f)
	}
}

// errGrew tells of data that are no longer those that were checked.
var errGrew = errors.New("its symbol is larger than any was when the records were checked")

// set adds one field of a record to the pen.
func (s *setters) set(i int, values []string, at *station) error {
	f := s.fields[i]
	list, err := s.fill(f, values)
	if err != nil {
		return err
	}
	if f.Picture != nil {
		return s.setPicture(f, at)
	}
	paint, err := s.paint(f, values)
	if err != nil {
		return err
	}
	turn := at.Turn.Plus(f.Turn)
	if s.shaped[i] != nil {
		return s.shaped[i].set(&s.pen, s.value, at.corner(f.box(barcode.Extent{}), f.Turn), turn, paint)
	}
	if f.Letters != nil {
		return s.letters[i].set(&s.pen, s.value, at.corner(f.box(barcode.Extent{}), f.Turn), turn, paint)
	}
	var symbol *barcode.Symbol
	if list != nil {
		symbol, err = s.encoders[i].EncodeElements(list)
	} else {
		symbol, err = s.encoders[i].Encode(string(s.value))
	}
	if err != nil {
		return err
	}
	across, down := symbol.Modules()
	modules := barcode.Extent{Across: across, Down: down}
	if modules.Across > f.modules.Across || modules.Down > f.modules.Down {
		return errGrew
	}
	f.size.Place(&s.pen, symbol, at.box(f.box(modules)).Min, turn, paint)
	return nil
}

// paint returns what a record's field is painted in.
func (s *setters) paint(f *field, values []string) (draw.Paint, error) {
	if f.ink == nil {
		return f.paint, nil
	}
	name := string(f.ink.Append(nil, values))
	if i := slices.Index(f.Inks, name); i >= 0 {
		return f.paints[i], nil
	}
	return f.paint, say.Refuse(say.Failed, fmt.Sprintf("the inks are %q", f.Inks), "the job doesn't print the ink %q", say.Clip(name, 100))
}

// frame sets all fields of a frame's labels, field by field, so that
// neighbours share their paint and font. Numbers and values of the records are
// by station; a number of 0 leaves a station without. A label that would lack
// what it should carry is refused.
func (s *setters) frame(numbers []int64, values [][]string, stations []station) error {
	s.pen.Reset()
	s.places = nil
	for j := range stations {
		if s.own == nil || numbers[j] == 0 {
			continue
		}
		item, err := s.own.place(s.plan, j, values[j])
		if err != nil {
			return &stationError{j, err}
		}
		s.places = append(s.places, item)
	}
	for i, f := range s.fields {
		for j := range stations {
			if numbers[j] == 0 {
				continue
			}
			before := len(s.pen.Texts) + len(s.places)
			err := s.set(i, values[j], &stations[j])
			if err == nil && len(s.pen.Texts)+len(s.places) == before && len(s.value) > 0 {
				err = errNothingSet
			}
			if err != nil {
				return &stationError{j, fmt.Errorf("field %s: %w", f.Name, err)}
			}
		}
	}
	return nil
}

// texts returns what the last frame has.
func (s *setters) texts() ([]draw.Text, []draw.Item) {
	if s == nil {
		return nil, nil
	}
	return s.pen.Texts, s.places
}

// errNothingSet tells of a field that has a value, of which nothing would be
// printed.
var errNothingSet = errors.New("nothing of it would be printed")

// stationError says at which station something went wrong.
type stationError struct {
	station int
	err     error
}

func (e *stationError) Error() string { return e.err.Error() }
func (e *stationError) Unwrap() error { return e.err }
