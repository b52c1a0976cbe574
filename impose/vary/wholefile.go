package vary

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"os"
	"path/filepath"
)

// unfinished is what is put behind the name of a file under way. What a killed
// run left under such a name is overwritten by the next one.
const unfinished = ".unfinished"

// wholeFile appears under its name whole or not at all.
type wholeFile struct {
	path string
	file *os.File
	buf  *bufio.Writer
	sum  hash.Hash
	n    int64
}

func create(path string) (*wholeFile, error) {
	f, err := os.Create(path + unfinished)
	if err != nil {
		return nil, fmt.Errorf("can't write beside %s: %w", path, err)
	}
	w := &wholeFile{path: path, file: f, sum: sha256.New()}
	w.buf = bufio.NewWriterSize(f, 1<<18)
	return w, nil
}

func (w *wholeFile) Write(b []byte) (int, error) {
	w.sum.Write(b)
	w.n += int64(len(b))
	return w.buf.Write(b)
}

// commit lets the file appear, and gives its SHA-256 and length.
func (w *wholeFile) commit() (string, int64, error) {
	err := w.buf.Flush()
	if err == nil {
		err = w.file.Sync()
	}
	if closed := w.file.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(w.path+unfinished, w.path)
	}
	if err == nil {
		err = syncFolder(w.path)
	}
	if err != nil {
		return "", 0, fmt.Errorf("writing %s: %w", w.path, err)
	}
	w.file = nil
	return hex.EncodeToString(w.sum.Sum(nil)), w.n, nil
}

// discard takes an unfinished file away; after commit it does nothing.
func (w *wholeFile) discard() {
	if w.file != nil {
		w.file.Close()
		os.Remove(w.path + unfinished)
	}
}

// syncFolder makes new names last through a power cut.
func syncFolder(path string) error {
	d, err := os.Open(filepath.Dir(path))
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
