package vary

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/data"
	"quoin/impose/draw"
	"quoin/impose/press"
	"quoin/impose/say"
)

// Plan is what a run is made from.
type Plan struct {
	Layout  *geometry.Layout
	Lanes   []int          // on the press, that carry the label; none means all
	Items   []draw.Item    // of a frame without data: artworks first, then the rest
	Setup   press.Setup    // of each file
	Records *data.Records  // opened; Prepare scans them
	Fields  []Field        // on each label
	Route   geometry.Route // how often the web is wound
	Across  bool           // see Order
	PerRoll int64          // see Order
	Spare   Spare          // what stands at stations without a record
	Void    string         // ink of the void mark
	Only    []int64        // numbers of records to print, in rising order; none means all
	// Device has the pixels of the press to the inch, across and around. The
	// fields of a label stand on them alike at every station. 0: not known.
	Device [2]int
	// Under names the white inks of an underprint that is only where the artwork
	// paints: letters take them along, and symbols stand on a box of them.
	Under []string
	// Unique names the values that no two labels share, together. Nil means what
	// the fields say, see Run.code; empty means nothing.
	Unique []string
	// Pictures are the pages that records name, by what they are called there.
	Pictures map[Named]Picture
	// ChangeOver is what stands between two rolls; nil: nothing.
	ChangeOver *ChangeOver
	// Artwork is a template that names the picture which a record has instead of the
	// job's own artwork; "": none has.
	Artwork string
}

// Spare says what stands at stations that no record is left for.
type Spare string

// The ways to fill spare stations.
const (
	Blank  Spare = "blank"  // nothing, not even the artwork
	Void   Spare = "void"   // the artwork under a cross
	Repeat Spare = "repeat" // the lane's last record again: printed twice, as asked for
)

// The codes of warnings.
const (
	CodeSpare = "spare-stations" // stations have no record
	CodeFixed = "field-fixed"    // a field is the same on every label
)

// Run is a plan whose every record has been checked.
type Run struct {
	Order    Order
	Warnings say.Notes

	plan     Plan
	fields   fieldSet
	fonts    []*draw.Font // that the fields need
	stations []station    // in the order of the layout
	code     code         // what tells labels apart
	own      *ownArtwork  // of each record; nil where all have the job's
	change   *changeOver  // nil for none
	codes    *sortedCodes // of all records; nil until they are asked for
}

// field is a field with what it needs to be set.
type field struct {
	Field
	content
	paint   draw.Paint
	ink     *data.Template // of a field whose ink the records name; nil for others
	paints  []draw.Paint   // by Inks
	size    barcode.Size   // of a symbol
	modules barcode.Extent // of the largest symbol
}

// station is where one label stands.
type station struct {
	geometry.Station
	lane   int // index in Order.Lanes
	device [2]int
}

// Prepare reads all records through and checks the fields of each: nothing is
// written before that. Faults of a record are *data.Fault. Close the run after use.
func Prepare(ctx context.Context, p Plan) (*Run, error) {
	r := &Run{plan: p}
	if err := r.prepare(ctx); err != nil {
		r.Close()
		return nil, err
	}
	return r, nil
}

func (r *Run) prepare(ctx context.Context) error {
	p := &r.plan
	if err := p.Route.Check(); err != nil {
		return err
	}
	if p.Spare == "" {
		r.plan.Spare = Blank
	} else if p.Spare != Blank && p.Spare != Void && p.Spare != Repeat {
		return fieldFault("spare", "write blank, void or repeat", fmt.Errorf("spare stations can't be filled with %q", string(p.Spare)))
	}
	if len(p.Fields) == 0 && p.Artwork == "" {
		return errors.New("the job has no fields, so all its labels are alike")
	}
	for _, f := range p.Fields {
		if err := r.addField(f); err != nil {
			return err
		}
	}
	if err := r.newOwnArtwork(); err != nil {
		return err
	}
	if err := (changePoint{r}).newChangeOver(); err != nil {
		return err
	}
	if err := r.fields.together(); err != nil {
		return err
	}
	if err := r.scan(ctx); err != nil {
		return err
	}
	if err := (codeBook{r}).tellApart(ctx); err != nil {
		return err
	}
	r.order()
	if err := (changePoint{r}).standChangeOver(); err != nil {
		return err
	}
	r.warnOfSpare()
	if r.own != nil {
		if err := r.own.stand(r); err != nil {
			return err
		}
	}
	return r.checkPlaces(r.fields)
}

func (r *Run) addField(f Field) error {
	added, err := r.newField(f, r.plan.Records.Names)
	if err != nil {
		return err
	}
	if len(added.values()) == 0 {
		r.Warnings.Add(CodeFixed, "field %s names no column and no counter: every label says %q", f.Name, say.Clip(string(added.sample()), 80))
	}
	r.fields = append(r.fields, added)
	return nil
}

// newField checks a field that shows values of the names given.
func (r *Run) newField(f Field, names []string) (*field, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	c, err := newContent(&f, names)
	if err != nil {
		return nil, fieldFault(f.Name, "", err)
	}
	added := &field{Field: f, content: *c, paint: f.paint()}
	if f.Inks != nil {
		if added.ink, err = data.ParseTemplate(f.Ink, names); err != nil {
			return nil, fieldFault(f.Name, "", err)
		}
		for _, name := range f.Inks {
			added.paints = append(added.paints, r.painted(&f, name))
		}
	}
	if f.Letters != nil {
		added.paint = r.painted(&f, f.Ink)
	}
	if f.Picture != nil {
		return added, nil
	}
	if f.Symbol != nil {
		size, warnings, err := f.Symbol.Kind.Fit(f.Symbol.Wish)
		if err != nil {
			return nil, fieldFault(f.Name, "", err)
		}
		added.size = size
		for _, w := range warnings {
			r.Warnings.Add(w.Code, "field %s: %s", f.Name, w.Text)
		}
	} else if _, err := f.Letters.Face.face(); err != nil && len(f.Letters.Fonts) == 0 {
		return nil, fieldFault(f.Name, "write regular, bold or mono", err)
	}
	return added, nil
}

// painted gives the paint of letters in an ink, which take the whites beneath
// them along.
func (r *Run) painted(f *Field, ink string) draw.Paint {
	named := *f
	named.Ink = ink
	p := named.paint()
	for _, white := range r.plan.Under {
		p.Tints = append(p.Tints, draw.Tint{Ink: white, Amount: 1})
	}
	return p
}

// scan checks every record's fields and finds the largest symbols.
func (r *Run) scan(ctx context.Context) error {
	s, err := newSetters(r)
	if err != nil {
		return err
	}
	err = r.plan.Records.Scan(ctx, func(values []string) error {
		for i, f := range r.fields {
			n, err := s.measure(i, values)
			if err != nil {
				return fieldFault(f.Name, "", err)
			}
			if f.Symbol != nil {
				f.modules = f.Symbol.Kind.Larger(f.modules, n)
			}
		}
		if r.own != nil {
			if err := r.own.check(&r.plan, values); err != nil {
				return err
			}
		}
		return r.fields.agree(values)
	})
	r.fonts = s.fonts
	return err
}

// order works out which record stands where.
func (r *Run) order() {
	p := r.plan
	lanes := slices.Clone(p.Lanes)
	if len(lanes) == 0 {
		for lane := range p.Layout.Across {
			lanes = append(lanes, lane+1)
		}
	}
	// Records take the lanes as the last machine numbers them.
	slices.SortFunc(lanes, func(a, b int) int {
		return cmp.Compare(p.Route.FinishingLane(a, p.Layout.Across), p.Route.FinishingLane(b, p.Layout.Across))
	})
	records := p.Records.Count
	if len(p.Only) > 0 {
		records = int64(len(p.Only))
	}
	r.Order = Order{
		Lanes: lanes, Rows: p.Layout.Around, Records: records, Across: p.Across,
		LastFirst: p.Route.LastPrintedFirst(), PerRoll: p.PerRoll,
	}
	for _, s := range p.Layout.Station {
		if lane := slices.Index(lanes, s.Lane); lane >= 0 {
			r.stations = append(r.stations, station{s, lane, p.Device})
		}
	}
}

// warnOfSpare says how many stations no record is left for.
func (r *Run) warnOfSpare() {
	if n := r.Order.Spare(); n > 0 {
		have, what := "have", map[Spare]string{
			Blank: "stay blank", Void: "carry a void mark", Repeat: "repeat their lane's last record, which is printed twice",
		}[r.plan.Spare]
		if n == 1 {
			have, what = "has", map[Spare]string{
				Blank: "stays blank", Void: "carries a void mark", Repeat: "repeats its lane's last record, which is printed twice",
			}[r.plan.Spare]
		}
		r.Warnings.Add(CodeSpare, "%s of %s %s no record and %s", say.CountOf(n, "station", "stations"), r.Order.spareAt(), have, what)
	}
}

// record gives the number of the record, from 1, that is printed at a place of
// the order.
func (r *Run) record(i int64) int64 {
	if len(r.plan.Only) > 0 {
		return r.plan.Only[i]
	}
	return i + 1
}

// checkPlaces refuses fields that leave the label or lie on one another: a
// symbol's quiet zone belongs to it. It warns of bars across the web.
func (r *Run) checkPlaces(fields fieldSet) error {
	if len(r.stations) == 0 {
		return errNoLane
	}
	label := r.stations[0].upright()
	whole := geometry.BoxAt(geometry.Position{}, label)
	for i, f := range fields {
		box := f.box(f.modules)
		if !whole.Contains(box) {
			return fieldFault(f.Name, "move it, or make it smaller; the quiet zone of a symbol must be on the label too", fmt.Errorf("it takes %s from %s across and %s down, which is beyond the label of %s", box.Size(), box.Min.Across, box.Min.Around, label))
		}
		for _, g := range fields[:i] {
			if box.Overlaps(g.box(g.modules)) {
				return fieldFault(f.Name, "move one of them; nothing may be in the quiet zone of a symbol", fmt.Errorf("it lies on the field %s", g.Name))
			}
		}
		if f.Symbol == nil {
			continue
		}
		for _, s := range r.stations {
			if w, bad := f.size.Direction(s.Turn.Plus(f.Turn)); bad {
				r.Warnings.Add(w.Code, "field %s: %s", f.Name, w.Text)
			}
		}
	}
	return nil
}

// box gives what the field takes of the upright label.
func (f *field) box(modules barcode.Extent) geometry.Box {
	var size geometry.Size
	if f.Symbol != nil {
		size = f.size.Outer(modules)
	} else if f.Picture != nil {
		size = geometry.Size{Across: f.Picture.Width, Around: f.Picture.Height}
	} else {
		size = geometry.Size{Across: f.Letters.Width, Around: max(f.Letters.Cap, f.Letters.Box)}
	}
	if f.Turn.Swaps() {
		size.Across, size.Around = size.Around, size.Across
	}
	return geometry.BoxAt(f.At, size)
}

// upright gives the label's size as its artwork stands.
func (s *station) upright() geometry.Size {
	size := s.Trim.Size()
	if s.Turn.Swaps() {
		size.Across, size.Around = size.Around, size.Across
	}
	return size
}

// at takes a place on the upright label to the frame.
func (s *station) at(p geometry.Position) geometry.Position {
	corner := s.Trim.Min
	switch s.Turn % 4 { // where the label's top left is
	case geometry.Turn90:
		corner.Around = s.Trim.Max.Around
	case geometry.Turn180:
		corner = s.Trim.Max
	case geometry.Turn270:
		corner.Across = s.Trim.Max.Across
	}
	// Corner and offset each take the nearest pixel, so that a label has the same
	// dots wherever it is printed, and when it is printed again.
	offset := barcode.Snap(p.Turned(s.Turn), s.device[0], s.device[1])
	return barcode.Snap(corner, s.device[0], s.device[1]).Add(geometry.Size(offset))
}
