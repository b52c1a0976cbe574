// Package wholefile makes files appear whole or not at all: a file is written
// beside its target, hashed, synced and renamed, and its folder is synced. What
// is no regular file is never replaced.
package wholefile

import (
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
)

// Options say how a file is made. The zero value suits a file that stands alone.
type Options struct {
	// Inputs are files that the target must not replace.
	Inputs []string
	// Working is the name, in the target's folder, that the file has until it
	// appears. What a killed start left under it is overwritten, so the caller
	// keeps two from writing at once. "" is a new hidden name each time.
	Working string
	// SyncLater leaves the folder to a caller who puts many files into it and
	// then calls SyncFolder.
	SyncLater bool
	// Unsynced is for files that need not outlive a power cut: what they hold can
	// be had again.
	Unsynced bool
}

// Sum tells one content from another.
type Sum struct {
	SHA256 string // in hexadecimal
	Bytes  int64
}

// File is a file on its way. Discard it when nothing else is to be done: after
// Commit that does nothing.
type File struct {
	path   string // as the caller names it
	target string // where it leads
	opt    Options
	file   *os.File
	digest digest
	failed error      // of the disk, the first
	synced chan error // gives what became of syncing; nil while nobody began it
}

// Write makes the file at path appear with what fill writes. Checks may look at
// the finished file under its working name; what one of them refuses never
// appears. Errors of fill and of checks come back as they are.
func Write(path string, opt Options, fill func(io.Writer) error, checks ...func(working string) error) (Sum, error) {
	f, err := Create(path, opt)
	if err != nil {
		return Sum{}, err
	}
	defer f.Discard()
	if err := fill(f); err != nil {
		if f.failed != nil {
			err = f.failed
		}
		return Sum{}, err
	}
	if err := f.flush(); err != nil {
		return Sum{}, err
	}
	if len(checks) > 0 {
		f.beginSync()
	}
	for _, check := range checks {
		if err := check(f.file.Name()); err != nil {
			return Sum{}, err
		}
	}
	return f.Commit()
}

// Create begins a file. The error is a refusal of the kind Usage when no
// file may appear at path, and of Disk otherwise.
func Create(path string, opt Options) (*File, error) {
	if err := checkTarget(path, opt.Inputs); err != nil {
		return nil, err
	}
	f := &File{path: path, target: followed(path), opt: opt, digest: newDigest()}
	var err error
	if opt.Working != "" {
		f.file, err = os.Create(filepath.Join(filepath.Dir(f.target), opt.Working))
	} else {
		f.file, err = createHidden(f.target)
	}
	if err != nil {
		return nil, notBeside(path, err)
	}
	return f, nil
}

// createHidden creates a file of a new name beside path.
func createHidden(path string) (f *os.File, err error) {
	dir, base := filepath.Split(path)
	for range 100 {
		name := filepath.Join(dir, "."+base+"."+strconv.FormatUint(uint64(rand.Uint32()), 10))
		f, err = os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, os.ErrExist) {
			break
		}
	}
	return f, err
}

// Write adds to the file. Errors are refusals of the kind Disk.
func (f *File) Write(b []byte) (n int, err error) {
	for len(b) > n && f.failed == nil {
		taken := f.digest.fill(b[n:])
		n += taken
		if f.digest.full() {
			f.flush()
		}
	}
	return n, f.failed
}

// flush hands what is gathered to the disk.
func (f *File) flush() error {
	chunk := f.digest.next()
	if _, err := f.file.Write(chunk); err != nil {
		f.fail(err)
	}
	return f.failed
}

func (f *File) fail(err error) {
	if err != nil && f.failed == nil {
		f.failed = ofDisk("writing "+f.path, err)
	}
}

// beginSync has what is written so far brought to the disk beside whatever else is
// done, once nothing more is to be written.
func (f *File) beginSync() {
	if f.failed != nil || f.opt.Unsynced || f.synced != nil {
		return
	}
	synced := make(chan error, 1)
	f.synced = synced
	go func(file *os.File) { synced <- file.Sync() }(f.file)
}

// endSync waits until that is done.
func (f *File) endSync() error {
	if f.synced == nil {
		return nil
	}
	err := <-f.synced
	f.synced = nil
	return err
}

// Commit makes the file appear. Errors are refusals of the kind Disk.
func (f *File) Commit() (Sum, error) {
	f.flush()
	f.beginSync()
	f.fail(f.endSync())
	f.fail(f.file.Close())
	if f.failed == nil {
		f.fail(Rename(f.file.Name(), f.target))
	}
	if f.failed == nil && !f.opt.SyncLater && !f.opt.Unsynced {
		f.fail(SyncFolder(filepath.Dir(f.target)))
	}
	if f.failed != nil {
		return Sum{}, f.failed // Discard tidies up
	}
	f.file = nil
	return f.digest.sum(), nil
}

// Discard takes away a file that has not appeared.
func (f *File) Discard() {
	if f.file != nil {
		f.endSync()
		f.digest.sum()
		f.file.Close()
		os.Remove(f.file.Name())
		f.file = nil
	}
}

// SyncFolder makes new names in a folder last through a power cut.
func SyncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !cantSync(err) {
		return err
	}
	return nil
}
