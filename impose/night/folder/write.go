package folder

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
)

// Write makes a file of the folder: fill writes what is in it. The file is
// finished, and kept by later starts, once Write returns without an error.
// Before that, checks may look at the whole file under another name; what one of
// them refuses is never there. Errors of the disk are of the kind say.Disk; those of
// fill and of checks come back as they are. Names that begin with a dot are for
// the making only and don't last.
func (f *Folder) Write(name string, fill func(io.Writer) error, checks ...func(path string) error) (sum string, err error) {
	if filepath.Base(name) != name {
		return "", fmt.Errorf("%q is no plain file name", name)
	}
	if f.done {
		return "", fmt.Errorf("%s is finished", f.place)
	}
	sum, err = f.create(name, func(w *writer) error { return fill(w) }, checks...)
	if err != nil {
		return "", err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.sums[name] = sum
	return sum, f.note(line(name, sum))
}

// create writes a file whole, synced and under its name.
func (f *Folder) create(name string, fill func(*writer) error, checks ...func(path string) error) (sum string, err error) {
	file, err := os.OpenFile(filepath.Join(f.work, ".tmp-"+name), os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o666)
	if err != nil {
		return "", failed(f.place, err)
	}
	defer os.Remove(file.Name()) // nothing once it is renamed
	defer file.Close()
	w := &writer{buf: bufio.NewWriterSize(file, 1<<18), sum: sha256.New()}
	if err := fill(w); err != nil {
		if w.err != nil {
			return "", failed(f.place, w.err)
		}
		return "", err
	}
	if err := w.buf.Flush(); err != nil {
		return "", failed(f.place, err)
	}
	for _, check := range checks {
		if err := check(file.Name()); err != nil {
			return "", err
		}
	}
	err = file.Sync()
	if err == nil {
		err = os.Rename(file.Name(), filepath.Join(f.work, name))
	}
	if err != nil {
		return "", failed(f.place, err)
	}
	return hex.EncodeToString(w.sum.Sum(nil)), nil
}

// writer remembers whether it was the disk that failed.
type writer struct {
	buf *bufio.Writer
	sum hash.Hash
	err error
}

func (w *writer) Write(b []byte) (int, error) {
	n, err := w.buf.Write(b)
	w.sum.Write(b[:n])
	if err != nil {
		w.err = err
	}
	return n, err
}

// sumOf reads a file from end to end.
func sumOf(path string) (string, error) {
	file, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer file.Close()
	h := sha256.New()
	if _, err := io.Copy(h, file); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// syncFolder makes renames in a folder last through a power cut.
func syncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !cantSync(err) {
		return failed(path, err)
	}
	return nil
}
