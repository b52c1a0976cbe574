package impose

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"quoin/geometry"
	"quoin/impose/barcode"
	"quoin/impose/checkdigit"
	"quoin/impose/data"
	"quoin/impose/ink"
	"quoin/impose/job"
	"quoin/impose/mark"
	"quoin/impose/vary"
)

// DataError says why a job's variable data can't be laid on its frame.
type DataError struct{ Text, Way string }

func (e *DataError) Error() string { return e.Text }

// Hint gives the way out.
func (e *DataError) Hint() string { return e.Way }

// Records opens the job's records.
func (im *Imposition) Records() (*data.Records, error) {
	d := im.Job.Data
	if d == nil {
		return nil, &DataError{"the job has no variable data", "give it data and fields"}
	}
	def := data.Definition{Count: d.Count}
	if d.File != "" {
		def.File = im.Job.Path(d.File)
	}
	for _, c := range d.Digits {
		def.Digits = append(def.Digits, data.Digits{Column: c.Column, Scheme: checkdigit.Scheme(c.Scheme), Add: c.Add})
	}
	for _, c := range d.Counters {
		def.Counters = append(def.Counters, data.Counter{Name: c.Name, Start: c.Start, Step: c.Step, Pad: c.Digits, Check: checkdigit.Scheme(c.Check)})
	}
	return data.Open(def)
}

// Vary prepares the run that prints each record on a label of its own, or only
// the records of the numbers given. All records are checked before it returns.
func (im *Imposition) Vary(ctx context.Context, records *data.Records, only []int64) (*vary.Run, error) {
	if err := im.oneProduct(); err != nil {
		return nil, err
	}
	setup, err := im.setup()
	if err != nil {
		return nil, err
	}
	p := vary.Plan{
		Layout: im.Layout, Items: im.Frame.Items, Setup: setup, Records: records, Route: im.Job.Route(),
		Across: im.Job.Data.Order == job.OrderAcross, PerRoll: im.perRoll[0], Spare: vary.Spare(im.Job.Data.Spare),
		Void: mark.Darkest(im.Inks.Printing()).Name, Only: only,
	}
	for lane := 1; lane <= im.Layout.Across; lane++ {
		if im.carries(lane) {
			p.Lanes = append(p.Lanes, lane)
		}
	}
	for i, f := range im.Job.Fields {
		field, err := im.field(i, f)
		if err != nil {
			return nil, err
		}
		p.Fields = append(p.Fields, field)
	}
	r, err := vary.Prepare(ctx, p)
	if err != nil {
		return nil, err
	}
	for _, w := range r.Warnings {
		im.warn(w.Code, "%s", w.Text)
	}
	if q := im.Job.Artworks[0].Quantity; only == nil && q != records.Count {
		im.warn("records-differ", "%d labels are ordered, and there are %d records", q, records.Count)
	}
	return r, nil
}

// oneProduct refuses frames on which records and stations don't go together one
// by one.
func (im *Imposition) oneProduct() error {
	switch {
	case len(im.Job.Artworks) != 1:
		return &DataError{fmt.Sprintf("%d products share the frame, and the records would not know which is theirs", len(im.Job.Artworks)),
			"print variable data with one artwork in a job"}
	case im.Job.Mirror:
		return &DataError{"variable data on the second surface would be printed unmirrored", "print it on the first surface, or mirror the fields in the artwork"}
	case im.Job.Route().Check() != nil:
		return &DataError{"how often the web is wound is not said, so the first label on the roll is not known",
			"say windings: 1 when the press winds the finished rolls, 2 with a finishing line behind it"}
	case len(im.Layout.Station) != im.Layout.Across*im.Layout.Around:
		return &DataError{"the labels don't stand in lanes and rows, so that no order of records follows them", "lay them out without nesting"}
	}
	frame := geometry.BoxAt(geometry.Position{}, geometry.Size{Across: im.Layout.Web.Width, Around: im.Layout.Repeat})
	for _, s := range im.Layout.Station {
		if !frame.Contains(s.Trim) {
			return &DataError{"a label stands across the frame's seam, where two frames print it", "lay the labels out without nesting or stagger"}
		}
	}
	return nil
}

// carries tells whether a lane has the artwork.
func (im *Imposition) carries(lane int) bool {
	for i, s := range im.Layout.Station {
		if s.Lane == lane && im.Places[i] < 0 {
			return false
		}
	}
	return true
}

// field gives a field of the job in the words of the run.
func (im *Imposition) field(i int, f job.Field) (vary.Field, error) {
	v := vary.Field{
		Name: f.Name, Value: f.Value, At: geometry.Position{Across: f.At.Across, Around: f.At.Around},
		Turn: f.Turn, Ink: f.Ink, Overprint: f.Overprint,
	}
	if v.Name == "" {
		v.Name = fmt.Sprintf("%d (%s)", i+1, f.Value)
	}
	if e, ok := im.Inks.Find(f.Ink); !ok || !e.Prints() {
		return v, &DataError{fmt.Sprintf("field %s is to be printed in the ink %q, which the job doesn't print", v.Name, f.Ink),
			"name a process ink or one of the artwork's, as quoin inspect lists them"}
	}
	if f.Symbol == "" {
		v.Letters = &vary.Letters{
			Face: vary.Face(f.Font), Cap: f.Cap, Width: f.Width, Align: vary.Align(f.Align), Fit: vary.Fit(f.Fit),
			Least: f.Least, LeastShare: f.LeastWidth.Float(),
		}
		return v, nil
	}
	dpi := im.Job.Data.DPI
	if dpi == 0 && im.Job.Press != nil {
		dpi = im.Job.Press.Resolution.Device
	}
	if dpi == 0 {
		return v, &DataError{"the resolution of the device is not said, so modules can't be rounded to its pixels", "give --device-dpi, or the press's resolution"}
	}
	v.Symbol = &vary.Symbol{
		Kind: barcode.Kind(f.Symbol), Level: barcode.Level(f.Level), Modules: f.Modules,
		Wish: barcode.Wish{X: f.Module, Height: f.Height, DPI: dpi, Warehouse: f.Warehouse, Plain: f.Plain},
	}
	return v, nil
}

// Identity stands for all that the written file depends on beside the layout,
// the fields and the records: the artworks' bytes, and what the job says of
// them.
func (im *Imposition) Identity() (string, error) {
	setup, err := im.setup()
	if err != nil {
		return "", err
	}
	h := sha256.New()
	for _, path := range im.files.paths() {
		sum, err := im.files.sums[path]()
		if err != nil {
			return "", err
		}
		fmt.Fprintln(h, sum)
	}
	text, err := json.Marshal([]any{setup.Info, setup.Inks, setup.Renames, im.Job.Artworks[0].Page, im.Job.Inks, im.Job.Output})
	if err != nil {
		return "", err
	}
	h.Write(text)
	h.Write(im.intent.Profile)
	return hex.EncodeToString(h.Sum(nil)), nil
}

// fieldInks gives the process inks that the fields need, which may print beside
// those of the artwork. Spots must be the artwork's: nothing else says what
// they look like.
func fieldInks(fields []job.Field) []ink.Seen {
	var list []ink.Seen
	for _, f := range fields {
		if k := slices.Index(ink.ProcessNames[:], f.Ink); k >= 0 {
			s := ink.Seen{Name: f.Ink, Source: "the fields"}
			s.CMYK[k] = 1
			list = append(list, s)
		}
	}
	return list
}

// Warnings gives what to look at before the run.
func (im *Imposition) Warnings() []Warning { return append([]Warning{}, im.warnings...) }
