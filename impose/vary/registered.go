package vary

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"time"

	"quoin/geometry"
	"quoin/impose/data"
	"quoin/impose/register"
	"quoin/impose/say"
)

// spec is what the register keeps of a run's fields.
type spec struct {
	Names  []string
	Fields []Field
	Unique []string
}

// places is what the register keeps of where records stand.
type places struct {
	Order  Order
	Repeat geometry.Length
	Rows   []geometry.Length // where each begins in the frame
	// Symbols has, for each station and field, the box on the frame that the
	// symbol takes with its quiet zones; empty for letters.
	Symbols []stationBoxes
	// Mirrored is the width of a web that is printed on its second surface: pages
	// are the mirror image of what the boxes say. 0 for others.
	Mirrored geometry.Length `json:",omitzero"`
}

// stationBoxes is where the symbols of a station stand.
type stationBoxes struct {
	Lane, Row int
	Boxes     []geometry.Box
}

// entered is a run in the register.
type entered struct {
	path   string
	run    register.Entry
	of     register.Entry // that is printed again
	errand *errand        // under way; nil for none
}

// book opens the register for one piece of work and closes it again, so that
// others can use it in between.
func (e *entered) book(do func(*register.Register) error) error {
	reg, err := register.Open(e.path)
	if err != nil {
		return err
	}
	return errors.Join(do(reg), reg.Close())
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return !os.IsNotExist(err)
}

// noRegister says that a reprint finds nothing to be bound to.
func noRegister(path string) error {
	return say.Refuse(say.BadFile, "name the register of the run with --register; where it is lost, say --register none and name the press file of the run with --run, to print from its journal and ledgers", "there is no register %s", path)
}

// Check refuses what Write would refuse for the register's sake, and writes
// nothing. A first run needs no register yet.
func (r *Run) Check(ctx context.Context, o Output) error {
	if o.Reprint == nil {
		if _, err := os.Stat(o.Register); o.Register == "" || os.IsNotExist(err) {
			return nil
		}
	}
	identity, err := r.identity(o)
	if err != nil {
		return err
	}
	if o.Register == "" {
		return bindToJournal(r, o, identity, true)
	}
	e, err := newEntry(r, o, identity)
	if err != nil {
		return err
	}
	if _, err := os.Stat(o.Register); os.IsNotExist(err) {
		return noRegister(o.Register)
	}
	reg, err := register.View(o.Register)
	if err != nil {
		return err
	}
	runs, err := reg.Runs()
	switch {
	case err != nil:
	case o.Reprint == nil:
		runs = slices.DeleteFunc(runs, func(had register.Entry) bool { return had.File == e.run.File && had.Identity == e.run.Identity })
		err = untaken(ctx, r, reg, e, runs)
	default:
		if e.of, err = originalOf(reg, e, o); err == nil {
			err = mayReprint(reg, runs, e, o)
		}
	}
	return errors.Join(err, reg.Close())
}

// newEntry returns the run as it is to be entered.
func newEntry(r *Run, o Output, identity string) (*entered, error) {
	made, err := r.made(o)
	if err != nil {
		return nil, err
	}
	e := &entered{path: o.Register}
	e.run = register.Entry{Identity: identity, Made: made, Data: r.plan.Records.Sum, Records: r.plan.Records.Count, Only: r.plan.Only}
	if e.run.File, err = filepath.Rel(filepath.Dir(o.Register), o.Path); err != nil {
		return nil, err
	}
	if e.run.Spec, err = json.Marshal(spec{r.plan.Records.Names, r.plan.Fields, r.plan.Unique}); err != nil {
		return nil, err
	}
	e.run.Places, err = json.Marshal(stationPlaces(r))
	return e, err
}

func stationPlaces(r *Run) places {
	p := places{Order: r.Order, Repeat: r.plan.Layout.Repeat, Rows: make([]geometry.Length, r.Order.Rows)}
	if r.plan.Setup.Mirror {
		p.Mirrored = r.plan.Layout.Web.Width
	}
	for i := range r.stations {
		s := &r.stations[i]
		p.Rows[s.Row-1] = s.Trim.Min.Around
		at := stationBoxes{Lane: s.Lane, Row: s.Row}
		for _, f := range r.fields {
			var box geometry.Box
			if f.Symbol != nil {
				box = s.box(f.box(f.modules))
			}
			at.Boxes = append(at.Boxes, box)
		}
		p.Symbols = append(p.Symbols, at)
	}
	return p
}

// untaken refuses codes that an earlier run issued. What a run began to enter
// and never finished was never printed.
func untaken(ctx context.Context, r *Run, reg *register.Register, e *entered, runs []register.Entry) error {
	if len(r.code.parts) == 0 || len(runs) == 0 {
		return nil
	}
	var first int64 // the record to be named
	var wrong error
	err := codeHashes(ctx, r, func(list []register.Code) error {
		return reg.Taken(0, list, func(c register.Code, l register.Label) error {
			i := slices.IndexFunc(runs, func(run register.Entry) bool { return run.ID == l.Run })
			if i < 0 || !runs[i].Issued || wrong != nil && first <= c.Record {
				return nil
			}
			mine, err := codeOf(r, c.Record)
			if err != nil {
				return err
			}
			theirs, err := registeredCode(reg, runs[i], l.Record)
			if err != nil || mine != theirs {
				return err
			}
			first, wrong = c.Record, r.plan.Records.Place(c.Record, say.Refuse(say.BadFile,
				"give the labels codes of their own, or print spoiled ones with quoin reprint; where labels may be alike, say unique: none in the job's data",
				"%q was issued already: it is record %d of %s, entered on %s in %s", say.Clip(mine, 200), l.Record, runs[i].File, stamp(runs[i].Begun), e.path))
			return nil
		})
	})
	return cmp.Or(err, wrong)
}

// stamp writes a moment for people.
func stamp(t time.Time) string { return t.Format("2006-01-02 15:04 MST") }

// keepValues enters the values of all records.
func keepValues(ctx context.Context, r *Run, reg *register.Register, run uint32) error {
	const together = 64 // blocks in a transaction
	var packed register.Packed
	first := int64(0)
	flush := func() error {
		blocks := packed.Take()
		err := reg.Keep(run, first, blocks)
		first += int64(len(blocks))
		return err
	}
	err := eachRecord(ctx, r, func(_ int64, values []string, _ bool) error {
		if packed.Blocks() == together {
			if err := flush(); err != nil {
				return err
			}
		}
		return packed.Add(values)
	})
	if err == nil {
		err = packed.End()
	}
	if err == nil {
		err = flush()
	}
	return err
}

// agrees refuses a journal that knows less than the register: the run would be
// printed twice.
func (e *entered) agrees(reg *register.Register, j *journal) error {
	parts, err := reg.Parts(e.run.ID)
	if err != nil {
		return err
	}
	for _, p := range parts {
		if had, ok := j.parts[p.Number]; !ok || had.Sum != p.Sum {
			return say.Refuse(say.Failed, "bring the journal back: with it, --part builds a lost part again; spoiled labels are for quoin reprint",
				"the register says that part %d of %s was printed on %s, and the journal doesn't", p.Number, e.run.File, stamp(p.Printed))
		}
	}
	return nil
}

// print enters that a part is written, while the next is being made.
func (e *entered) print(p Part) error {
	if e == nil {
		return nil
	}
	dir := filepath.Dir(e.path)
	file, err := filepath.Rel(dir, p.File)
	if err != nil {
		return err
	}
	ledger, err := filepath.Rel(dir, p.Ledger)
	if err != nil {
		return err
	}
	return e.behind(func(reg *register.Register) error {
		return reg.Print(e.run.ID, register.Part{
			Number: p.Number, File: file, Ledger: ledger, First: p.First, Frames: p.Frames, Sum: p.Sum, Book: p.Book,
		})
	})
}

// fromSpec returns the fields and the code of a run in the register.
func fromSpec(run register.Entry) (*Run, error) {
	var s spec
	if err := json.Unmarshal(run.Spec, &s); err != nil {
		return nil, err
	}
	r := &Run{plan: Request{Records: &data.Records{Names: s.Names}, Unique: s.Unique}}
	for _, f := range s.Fields {
		c, err := newContent(&f, s.Names)
		if err != nil {
			return nil, err
		}
		r.fields = append(r.fields, &field{Field: f, content: *c})
	}
	var err error
	r.code, err = newCode(r)
	return r, err
}

// registeredCode returns the code of a record that another run issued.
func registeredCode(reg *register.Register, run register.Entry, record int64) (code string, err error) {
	r, err := fromSpec(run)
	if err != nil {
		return "", err
	}
	err = reg.Values(run.ID, record, func(_ int64, values []string) (bool, error) {
		code = r.code.text(values)
		return false, nil
	})
	return code, err
}
