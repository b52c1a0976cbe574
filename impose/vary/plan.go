package vary

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/data"
	"quoin/impose/draw"
	"quoin/impose/press"
	"quoin/impose/say"
)

// Request is what a run is made from.
type Request struct {
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

	plan     Request
	fields   fieldSet
	fonts    []*draw.Font // that the fields need
	stations []station    // in the order of the layout
	code     code         // what tells labels apart
	own      *ownArtwork  // of each record; nil where all have the job's
	change   *changeOver  // nil for none
	codes    *sortedCodes // of all records; nil until they are asked for
}

// Prepare reads all records through and checks the fields of each: nothing is
// written before that. Faults of a record are *data.Fault. Close the run after use.
func Prepare(ctx context.Context, p Request) (*Run, error) {
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
	if err := newChangeOver(r); err != nil {
		return err
	}
	if err := r.fields.together(); err != nil {
		return err
	}
	if err := r.scan(ctx); err != nil {
		return err
	}
	if err := tellApart(ctx, r); err != nil {
		return err
	}
	r.order()
	if err := standChangeOver(r); err != nil {
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

// record returns the number of the record, from 1, that is printed at a place of
// the order.
func (r *Run) record(i int64) int64 {
	if len(r.plan.Only) > 0 {
		return r.plan.Only[i]
	}
	return i + 1
}
