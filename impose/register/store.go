package register

import (
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"
	bolterrors "go.etcd.io/bbolt/errors"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// schema names the form of the file; firstSchema that of files without sheaves,
// which are read and become of the new form with their next run.
const (
	schema      = "quoin-register-2"
	firstSchema = "quoin-register-1"
)

// The buckets, each a sorted map; numbers in keys stand with the highest byte
// first.
var (
	aboutBucket   = []byte("about")   // schema
	runsBucket    = []byte("runs")    // run: Run as JSON
	codesBucket   = []byte("codes")   // hash, run, record: nothing; of the first form
	valuesBucket  = []byte("values")  // run, block: the records' values, deflated
	sheavesBucket = []byte("sheaves") // run, first hash: hashes and records
	partsBucket   = []byte("parts")   // run, part: Part as JSON
	marksBucket   = []byte("marks")   // run, record, number: Mark as JSON
)

// patience is how long another run may hold the register.
const patience = time.Minute

// Register is an open register. It is kept from all others while it is open for
// writing, so open it for as long as a transaction takes.
type Register struct {
	db   *bbolt.DB
	path string
}

// Open opens a register for writing, and begins one where there is none.
func Open(path string) (*Register, error) {
	if _, err := os.Stat(path); os.IsNotExist(err) {
		if err := begin(path); err != nil {
			return nil, &say.Refusal{Kind: say.Disk, Way: "make room, and give the same command again", Text: "the register " + path + " can't be begun", Err: err}
		}
	}
	r, err := open(path, &bbolt.Options{Timeout: patience})
	if err != nil {
		return nil, err
	}
	return r, r.closeOn(r.check())
}

// unfinished stands behind the name of a register that is being begun.
const unfinished = ".unfinished"

// begin lets an empty register appear whole: the library writes its first pages
// one by one, and what a full disk leaves of them can't be opened again.
func begin(path string) error {
	working := path + unfinished
	if err := os.Remove(working); err != nil && !os.IsNotExist(err) {
		return err
	}
	db, err := bbolt.Open(working, 0o666, &bbolt.Options{Timeout: patience})
	if err != nil {
		return err
	}
	err = db.Update(func(tx *bbolt.Tx) error {
		for _, name := range [][]byte{aboutBucket, runsBucket, codesBucket, valuesBucket, sheavesBucket, partsBucket, marksBucket} {
			if _, err := tx.CreateBucketIfNotExists(name); err != nil {
				return err
			}
		}
		return tx.Bucket(aboutBucket).Put([]byte("schema"), []byte(schema))
	})
	if err := errors.Join(err, db.Close()); err != nil {
		os.Remove(working)
		return err
	}
	// A link never replaces what another run has begun in the meantime; not every
	// file system has them.
	if err := os.Link(working, path); err != nil && !os.IsExist(err) {
		return wholefile.Rename(working, path)
	}
	return errors.Join(os.Remove(working), wholefile.SyncFolder(filepath.Dir(path)))
}

// Unread is the error of a path at which no register can be read. Its way out is that
// of a verb that is told the register with --register; another knows its own.
type Unread struct{ say.Refusal }

func unread(kind say.Kind, way, format string, args ...any) *Unread {
	return &Unread{*say.Refuse(kind, way, format, args...)}
}

// View opens a register for reading, beside others that read.
func View(path string) (*Register, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, unread(say.BadFile, "name the register of the run with --register; it stands in the folder that the run was written to", "there is no register %s", path)
	}
	r, err := open(path, &bbolt.Options{Timeout: patience, ReadOnly: true})
	if err != nil {
		return nil, err
	}
	return r, r.closeOn(r.check())
}

// check refuses a file of another schema.
func (r *Register) check() error {
	return r.db.View(func(tx *bbolt.Tx) error {
		about := tx.Bucket(aboutBucket)
		if about == nil {
			return r.known(nil)
		}
		return r.known(about.Get([]byte("schema")))
	})
}

// leastBytes is what the smallest register has: four pages. The library maps the
// file, and faults on one that was cut off.
const leastBytes = 4 * 4096

func open(path string, o *bbolt.Options) (*Register, error) {
	if info, err := os.Stat(path); err == nil && info.Size() < leastBytes {
		return nil, damaged(path)
	}
	db, err := bbolt.Open(path, 0o666, o)
	switch {
	case errors.Is(err, bolterrors.ErrTimeout):
		return nil, say.Refuse(say.Failed, "wait until it has ended", "another run holds the register %s", path)
	case errors.Is(err, bolterrors.ErrInvalid), errors.Is(err, bolterrors.ErrVersionMismatch), errors.Is(err, bolterrors.ErrChecksum):
		return nil, damaged(path)
	case err != nil:
		return nil, &say.Refusal{Kind: say.Disk, Text: "the register " + path, Err: err}
	}
	return &Register{db, path}, nil
}

func damaged(path string) error {
	return unread(say.Failed, "choose another file with --register, or bring it back from a copy", "%s is no register, or is damaged", path)
}

func (r *Register) known(have []byte) error {
	if string(have) == schema || string(have) == firstSchema {
		return nil
	}
	return unread(say.Failed, "choose another file with --register", "%s is a file of another kind, or of another version: %q", r.path, say.Clip(string(have), 40))
}

// closeOn closes the register where there is an error.
func (r *Register) closeOn(err error) error {
	if err != nil {
		r.db.Close()
	}
	return err
}

// Close ends the use of the register.
func (r *Register) Close() error { return r.db.Close() }

// update carries out a transaction that reaches the disk whole or not at all.
func (r *Register) update(do func(*bbolt.Tx) error) error {
	err := r.db.Update(do)
	var refused *say.Refusal
	if err == nil || errors.As(err, &refused) {
		return err
	}
	return &say.Refusal{Kind: say.Disk, Way: "make room, and give the same command again: what was entered stays, and the run goes on", Text: "the register " + r.path + " can't be written", Err: err}
}

// key puts numbers behind each other so that keys sort as they do.
func key(numbers ...any) []byte {
	var b []byte
	for _, n := range numbers {
		switch n := n.(type) {
		case uint32:
			b = binary.BigEndian.AppendUint32(b, n)
		case uint64:
			b = binary.BigEndian.AppendUint64(b, n)
		case int64:
			b = binary.BigEndian.AppendUint64(b, uint64(n))
		}
	}
	return b
}
