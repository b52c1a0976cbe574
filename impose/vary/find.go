package vary

import (
	"encoding/json"
	"errors"
	"path/filepath"
	"slices"
	"time"

	"quoin/impose/register"
	"quoin/impose/say"
)

// Found is a label in the register, with all that became of it.
type Found struct {
	Code   string            `json:"code"`
	State  string            `json:"state"` // issued, printed, void or reprinted: the last that happened
	Record int64             `json:"record"`
	Values map[string]string `json:"values"`
	Made   string            `json:"made_from"`      // hash over job, artwork, fields and records
	Data   string            `json:"records_sha256"` // of the file of records; "" for counted ones
	Printings
	Again  []Printings `json:"reprints"`
	Voided string      `json:"voided,omitempty"` // when and why
}

// Printings is where a label was printed.
type Printings struct {
	Run     string    `json:"run"` // its press file, from the register's folder
	Entered time.Time `json:"entered"`
	File    string    `json:"file"` // the part; "" while it is not written
	Sum     string    `json:"sha256"`
	Printed time.Time `json:"printed,omitzero"`
	Part    int64     `json:"part"`
	Frame   int64     `json:"frame"`
	Lane    int       `json:"lane"`
	Row     int       `json:"row"`
	Roll    int64     `json:"roll"`  // the first that is wound is 1
	Metre   float64   `json:"metre"` // of the run's web, without make-ready, where the label begins
	Reason  string    `json:"reason,omitempty"`
}

// shelf is an open register with its runs as they are read.
type shelf struct {
	*register.Register
	path string
	runs []register.Entry
	read map[uint32]*Run
	set  map[uint32]places
	done map[uint32][]register.Part
}

// look reads a register's runs and hands them to do.
func look(path string, do func(*shelf) error) error {
	reg, err := register.View(path)
	if err != nil {
		return err
	}
	s := &shelf{reg, path, nil, map[uint32]*Run{}, map[uint32]places{}, map[uint32][]register.Part{}}
	if s.runs, err = reg.Runs(); err == nil {
		err = s.open()
	}
	if err == nil {
		err = do(s)
	}
	return errors.Join(err, reg.Close())
}

func (s *shelf) open() error {
	for _, run := range s.runs {
		var p places
		if err := json.Unmarshal(run.Places, &p); err != nil {
			return err
		}
		parts, err := s.Parts(run.ID)
		if err != nil {
			return err
		}
		r, err := fromSpec(run)
		if err != nil {
			return err
		}
		s.set[run.ID], s.done[run.ID], s.read[run.ID] = p, parts, r
	}
	return nil
}

// printings says where a run printed its label at a place of its order.
func (s *shelf) printings(run register.Entry, at int64) Printings {
	p := s.set[run.ID]
	frame, lane, row := p.Order.Place(at)
	where := Printings{
		Run: run.File, Entered: run.Begun, Frame: frame + 1, Lane: p.Order.Lanes[lane], Row: row + 1, Roll: p.Order.Roll(frame, lane, row),
		Metre: (float64(frame)*p.Repeat.MM() + p.Rows[row].MM()) / 1000,
	}
	if part := partOf(s.done[run.ID], frame); part != nil {
		where.File, where.Sum, where.Printed, where.Part = part.File, part.Sum, part.Printed, part.Number
	}
	return where
}

// label gathers what there is about a record.
func (s *shelf) label(run register.Entry, record int64, values []string) (Found, error) {
	r := s.read[run.ID]
	f := Found{
		Code: r.code.text(values), State: register.Issued, Record: record, Values: map[string]string{}, Made: run.Made, Data: run.Data,
		Printings: s.printings(run, record-1), Again: []Printings{},
	}
	for i, name := range r.plan.Records.Names {
		f.Values[name] = values[i]
	}
	if f.File != "" {
		f.State = register.Printed
	}
	err := s.Marks(run.ID, record, func(_ int64, m register.Mark) {
		if m.State == register.Void {
			f.State, f.Voided = register.Void, m.When.Format(time.RFC3339)+" "+m.Reason
			return
		}
		i := slices.IndexFunc(s.runs, func(again register.Entry) bool { return again.ID == m.Run })
		at := slices.Index(s.runs[i].Only, record)
		where := s.printings(s.runs[i], int64(at))
		where.Reason = m.Reason
		if f.Again = append(f.Again, where); where.File != "" && f.State == register.Printed {
			f.State = register.Reprinted
		}
	})
	return f, err
}

// Find returns the labels that have a text as their code, or else as what one of
// their fields says.
func Find(path, text string) (list []Found, err error) {
	err = look(path, func(s *shelf) error {
		hits, err := s.With(Hash(text))
		if err != nil {
			return err
		}
		for _, l := range hits {
			i := slices.IndexFunc(s.runs, func(run register.Entry) bool { return run.ID == l.Run })
			err := s.Values(l.Run, l.Record, func(record int64, values []string) (bool, error) {
				if s.read[l.Run].code.text(values) != text {
					return false, nil
				}
				f, err := s.label(s.runs[i], record, values)
				list = append(list, f)
				return false, err
			})
			if err != nil {
				return err
			}
		}
		if len(list) > 0 {
			return nil
		}
		return s.each(nil, func(run register.Entry, record int64, values []string) error {
			if !slices.Contains(codesSay(s.read[run.ID], values), text) {
				return nil
			}
			f, err := s.label(run, record, values)
			list = append(list, f)
			return err
		})
	})
	return list, err
}

// codesSay returns a label's code and what each of its fields says.
func codesSay(r *Run, values []string) []string {
	list := []string{r.code.text(values)}
	for _, f := range r.fields {
		if text, err := f.append(nil, values); err == nil {
			list = append(list, string(text))
		}
	}
	return list
}

// each hands out all labels of first prints, or those of one run.
func (s *shelf) each(only *register.Entry, see func(run register.Entry, record int64, values []string) error) error {
	for _, run := range s.runs {
		if run.Of != 0 || !run.Issued || only != nil && only.ID != run.ID {
			continue
		}
		err := s.Values(run.ID, 1, func(record int64, values []string) (bool, error) {
			return true, see(run, record, values)
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// runCalled finds a run by its press file, or the only one there is.
func (s *shelf) runCalled(file string) (*register.Entry, error) {
	rel := ""
	if file != "" {
		var err error
		if rel, err = filepath.Rel(filepath.Dir(s.path), file); err != nil {
			return nil, err
		}
	}
	var found []*register.Entry
	for i, run := range s.runs {
		if run.Of == 0 && run.Issued && (rel == "" || rel == run.File) {
			found = append(found, &s.runs[i])
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) == 0:
		return nil, say.Refuse(say.BadFile, "quoin register lists the runs", "%s knows no such run", s.path)
	}
	return nil, say.Refuse(say.Usage, "name its press file with --run", "%s holds %d runs", s.path, len(found))
}

// Strike marks the labels of a run that a list names, as ReadNumbers reads it, as
// never to be printed again.
func Strike(path, run, list, reason string) error {
	var of register.Entry
	err := look(path, func(s *shelf) error {
		found, err := s.runCalled(run)
		if err == nil {
			of = *found
		}
		return err
	})
	if err != nil {
		return err
	}
	records, err := ReadNumbers(list, of.Records)
	if err != nil {
		return err
	}
	reg, err := register.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(reg.Void(of.ID, records, reason), reg.Close())
}

// Listed is a run of the register.
type Listed struct {
	Run     string    `json:"run"`
	Of      string    `json:"reprint_of,omitempty"`
	Entered time.Time `json:"entered"`
	Labels  int64     `json:"labels"`
	Printed int64     `json:"printed"`
	Changes int64     `json:"change_over_labels,omitempty"` // printed between rolls
	Parts   int       `json:"parts"`
	Made    string    `json:"made_from"`
	Data    string    `json:"records_sha256"`
}

// Runs lists the runs of a register.
func Runs(path string) (list []Listed, err error) {
	err = look(path, func(s *shelf) error {
		list = []Listed{}
		for _, run := range s.runs {
			o, parts := s.set[run.ID].Order, s.done[run.ID]
			l := Listed{Run: run.File, Entered: run.Begun, Labels: o.Records, Parts: len(parts), Made: run.Made, Data: run.Data}
			for _, of := range s.runs {
				if of.ID == run.Of {
					l.Of = of.File
				}
			}
			for _, p := range parts {
				labels, changes := o.In(p.First-1, p.Frames)
				l.Printed += labels
				l.Changes += changes
			}
			list = append(list, l)
		}
		return nil
	})
	return list, err
}
