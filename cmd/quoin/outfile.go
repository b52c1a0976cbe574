package main

import (
	"bufio"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"golang.org/x/term"
)

// outFile is a file that appears whole or not at all: it is written beside its
// target, synced and renamed. Discard takes away what was not committed.
type outFile struct {
	path string
	file *os.File
	buf  *bufio.Writer
	sum  *backgroundSum
}

// createOut begins a file. inputs are the files that it must not replace.
func createOut(path string, inputs []string) (*outFile, error) {
	for _, in := range inputs {
		if sameFile(path, in) {
			return nil, usagef("the output %s is also an input", "name another file behind -o", path)
		}
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil, usagef("the output %s is a folder", "name a file behind -o", path)
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return nil, fmt.Errorf("can't write beside %s: %w", path, rootCause(err))
	}
	o := &outFile{path: path, file: f, sum: newBackgroundSum()}
	o.buf = bufio.NewWriterSize(io.MultiWriter(f, o.sum), 1<<18)
	return o, nil
}

// Write adds to the file.
func (o *outFile) Write(b []byte) (int, error) {
	n, err := o.buf.Write(b)
	if err != nil {
		err = fmt.Errorf("writing %s: %w", o.path, rootCause(err))
	}
	return n, err
}

// pending gives the path that all written so far can be read from, before the
// file appears.
func (o *outFile) pending() (string, error) {
	if err := o.buf.Flush(); err != nil {
		return "", fmt.Errorf("writing %s: %w", o.path, rootCause(err))
	}
	return o.file.Name(), nil
}

// commit makes the file appear and gives its SHA-256.
func (o *outFile) commit() (string, error) {
	err := o.buf.Flush()
	defer o.sum.end()
	if err == nil {
		err = o.file.Chmod(0o666 &^ umask())
	}
	if err == nil {
		err = o.file.Sync()
	}
	if closed := o.file.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(o.file.Name(), o.path)
	}
	if err != nil {
		os.Remove(o.file.Name())
		return "", fmt.Errorf("writing %s: %w", o.path, rootCause(err))
	}
	o.file = nil
	return hex.EncodeToString(o.sum.end()), nil
}

// discard takes the unfinished file away; after commit it does nothing.
func (o *outFile) discard() {
	o.sum.end()
	if o.file != nil {
		o.file.Close()
		os.Remove(o.file.Name())
	}
}

// sameFile reports whether two paths lead to one existing file.
func sameFile(a, b string) bool {
	ia, errA := os.Stat(a)
	ib, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(ia, ib)
}

// rootCause leaves out the temporary file's name, which nobody asked for.
func rootCause(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// isTerminal reports whether a person would see what is written there.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
