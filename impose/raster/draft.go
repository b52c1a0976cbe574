package raster

import (
	"bytes"
	"io"
	"os"

	"quoin/impose/wholefile"
)

// Draft is a PDF that was written only to be drawn: in memory while it is small,
// and beyond that in a temporary file, from which the renderer reads what it needs.
// Close it after use; what is forgotten is removed with the process's garbage. The
// zero value is empty.
type Draft struct {
	small bytes.Buffer
	file  *wholefile.Scratch
	size  int64
	err   error
}

// smallDraft is how much is kept in memory.
const smallDraft = 1 << 20

// Write adds to the draft. Its errors are those of the file system.
func (d *Draft) Write(p []byte) (n int, err error) {
	switch {
	case d.err != nil:
		return 0, d.err
	case d.file == nil && d.small.Len()+len(p) <= smallDraft:
		n, err = d.small.Write(p)
	default:
		if d.file == nil {
			if err = d.spill(); err != nil {
				break
			}
		}
		n, err = d.file.Write(p)
	}
	d.size += int64(n)
	d.err = err
	return n, err
}

// spill moves the draft to a file.
func (d *Draft) spill() error {
	f, err := wholefile.NewScratch("quoin-draft-")
	if err != nil {
		return err
	}
	d.file = f
	_, err = f.Write(d.small.Bytes())
	d.small = bytes.Buffer{}
	return err
}

// Size returns the bytes written so far.
func (d *Draft) Size() int64 { return d.size }

// Reader reads the draft from its start. There may be one reader at a time.
func (d *Draft) Reader() (io.ReadSeeker, error) {
	if d.file == nil {
		return bytes.NewReader(d.small.Bytes()), d.err
	}
	if _, err := d.file.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	return d.file, d.err
}

// at reads anywhere in the draft.
func (d *Draft) at() (io.ReaderAt, error) {
	if d.file == nil {
		return bytes.NewReader(d.small.Bytes()), d.err
	}
	return d.file, d.err
}

// Close removes the draft.
func (d *Draft) Close() {
	if d.file != nil {
		d.file.Close()
	}
	*d = Draft{err: os.ErrClosed}
}
