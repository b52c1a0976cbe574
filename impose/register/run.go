package register

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"time"

	"go.etcd.io/bbolt"
)

// Entry is a run or a reprint. What it is made from and where its labels stand is
// for whoever entered it to read.
type Entry struct {
	ID       uint32          `json:"-"`
	File     string          `json:"file"`     // its press file, from the register's folder
	Identity string          `json:"identity"` // of this run and no other
	Made     string          `json:"made"`     // hash of job, artwork and data, whatever part of them is printed
	Data     string          `json:"data"`     // SHA-256 of the file of records, "" without one
	Records  int64           `json:"records"`
	Spec     json.RawMessage `json:"spec"`           // fields and their names
	Places   json.RawMessage `json:"places"`         // the order of records on the web
	Of       uint32          `json:"of,omitempty"`   // run that is printed again; 0 for none
	Only     []int64         `json:"only,omitempty"` // the records of a reprint
	Begun    time.Time       `json:"begun"`          // by the clock
	Issued   bool            `json:"issued"`         // all its codes are entered
}

// Part is a press file that is written whole.
type Part struct {
	Number  int64       `json:"part"`
	File    string      `json:"file"`
	Ledger  string      `json:"ledger"`
	First   int64       `json:"first_frame"` // counted from 1
	Frames  int64       `json:"frames"`
	Sum     string      `json:"sha256"`
	Book    string      `json:"ledger_sha256"`
	Printed time.Time   `json:"printed"`
	Again   []time.Time `json:"built_again,omitempty"` // after it was lost
}

// Mark is what happened to a label later.
type Mark struct {
	State  string    `json:"state"` // Void or Reprinted
	Run    uint32    `json:"run,omitempty"`
	Reason string    `json:"reason"`
	When   time.Time `json:"when"`
}

// The states of a label.
const (
	Issued    = "issued"    // its code is given out, and its part is not written
	Printed   = "printed"   // its part is written
	Void      = "void"      // never to be printed again
	Reprinted = "reprinted" // printed again
)

// Enter enters a run, with a mark for each record that it prints again. A run
// that is known by its file and its identity keeps its number and is given as it
// is.
func (r *Register) Enter(run Entry, reason string) (Entry, error) {
	err := r.update(func(tx *bbolt.Tx) error {
		runs := tx.Bucket(runsBucket)
		known, err := read(runs, func(k []byte, had *Entry) bool {
			had.ID = binary.BigEndian.Uint32(k)
			return had.File == run.File && had.Identity == run.Identity
		})
		if err != nil || known != nil {
			if known != nil {
				run = *known
			}
			return err
		}
		n, err := runs.NextSequence()
		if err != nil {
			return err
		}
		run.ID, run.Begun = uint32(n), time.Now().UTC()
		if err := put(runs, key(run.ID), run); err != nil {
			return err
		}
		marks := tx.Bucket(marksBucket)
		for _, record := range run.Only {
			if err := mark(marks, run.Of, record, Mark{Reprinted, run.ID, reason, run.Begun}); err != nil {
				return err
			}
		}
		return nil
	})
	return run, err
}

// Finish says that all codes of a run are entered.
func (r *Register) Finish(run *Entry) error {
	run.Issued = true
	return r.update(func(tx *bbolt.Tx) error { return put(tx.Bucket(runsBucket), key(run.ID), run) })
}

// Runs returns all runs in the order in which they were entered.
func (r *Register) Runs() (list []Entry, err error) {
	err = r.db.View(func(tx *bbolt.Tx) error {
		_, err := read(tx.Bucket(runsBucket), func(k []byte, run *Entry) bool {
			run.ID = binary.BigEndian.Uint32(k)
			list = append(list, *run)
			return false
		})
		return err
	})
	return list, err
}

// Print enters that a part is written. A part that is entered already stays as
// it is.
func (r *Register) Print(run uint32, p Part) error {
	return r.update(func(tx *bbolt.Tx) error {
		b := tx.Bucket(partsBucket)
		if k := key(run, p.Number); b.Get(k) == nil {
			p.Printed = time.Now().UTC()
			return put(b, k, p)
		}
		return nil
	})
}

// BuiltAgain enters that a part which was lost is written once more.
func (r *Register) BuiltAgain(run uint32, number int64) error {
	return r.update(func(tx *bbolt.Tx) error {
		b := tx.Bucket(partsBucket)
		var p Part
		if err := json.Unmarshal(b.Get(key(run, number)), &p); err != nil {
			return err
		}
		p.Again = append(p.Again, time.Now().UTC())
		return put(b, key(run, number), p)
	})
}

// Parts returns the parts of a run that are written, by their numbers.
func (r *Register) Parts(run uint32) (list []Part, err error) {
	err = r.db.View(func(tx *bbolt.Tx) error {
		return each(tx.Bucket(partsBucket), key(run), func(_, v []byte) error {
			var p Part
			err := json.Unmarshal(v, &p)
			list = append(list, p)
			return err
		})
	})
	return list, err
}

// Void marks labels that are never to be printed again.
func (r *Register) Void(run uint32, records []int64, reason string) error {
	return r.update(func(tx *bbolt.Tx) error {
		for _, record := range records {
			if err := mark(tx.Bucket(marksBucket), run, record, Mark{State: Void, Reason: reason, When: time.Now().UTC()}); err != nil {
				return err
			}
		}
		return nil
	})
}

// Marks returns what happened to a label of a run later, oldest first; a record of
// 0 stands for all, handed out by record.
func (r *Register) Marks(run uint32, record int64, see func(record int64, m Mark)) error {
	prefix := key(run)
	if record > 0 {
		prefix = key(run, record)
	}
	return r.db.View(func(tx *bbolt.Tx) error {
		return each(tx.Bucket(marksBucket), prefix, func(k, v []byte) error {
			var m Mark
			err := json.Unmarshal(v, &m)
			see(int64(binary.BigEndian.Uint64(k[4:])), m)
			return err
		})
	})
}

func mark(marks *bbolt.Bucket, run uint32, record int64, m Mark) error {
	n, err := marks.NextSequence()
	if err != nil {
		return err
	}
	return put(marks, key(run, record, n), m)
}

func put(b *bbolt.Bucket, k []byte, v any) error {
	text, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return b.Put(k, text)
}

// read walks through a bucket of JSON and gives what see says yes to.
func read[T any](b *bbolt.Bucket, see func(k []byte, v *T) bool) (found *T, err error) {
	err = each(b, nil, func(k, v []byte) error {
		var t T
		if err := json.Unmarshal(v, &t); err != nil {
			return err
		}
		if see(k, &t) && found == nil {
			found = &t
		}
		return nil
	})
	return found, err
}

// each walks through the keys that begin with a prefix.
func each(b *bbolt.Bucket, prefix []byte, see func(k, v []byte) error) error {
	c := b.Cursor()
	for k, v := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, v = c.Next() {
		if err := see(k, v); err != nil {
			return err
		}
	}
	return nil
}
