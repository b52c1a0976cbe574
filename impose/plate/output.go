package plate

import (
	"bytes"
	"cmp"
	"io"

	"quoin/impose/pdfobj"
	"quoin/impose/raster"
)

// output is a content stream that is being written.
type output struct {
	before raster.Draft // what has been written before out
	out    bytes.Buffer
	buf    []byte // for one operator
	err    error
	none   bool // nothing is kept
}

// mostHeld is how much of a content stream is kept in memory.
const mostHeld = 256 << 10

// spill takes what has been written out of memory, where that is much.
func (w *output) spill() {
	if w.out.Len() > mostHeld && w.err == nil {
		_, w.err = w.out.WriteTo(&w.before)
	}
}

// size returns the bytes written so far.
func (w *output) size() int64 { return w.before.Size() + int64(w.out.Len()) }

// read returns what has been written, and ends it.
func (w *output) read() ([]byte, error) {
	defer w.before.Close()
	before, err := w.before.Reader()
	if err = cmp.Or(w.err, err); err != nil {
		return nil, err
	}
	return io.ReadAll(io.MultiReader(before, &w.out))
}

func (w *output) write(s string) {
	if w.none {
		return
	}
	w.out.WriteString(s)
	w.spill()
}

func (w *output) numbers(v []float64) {
	if w.none {
		return
	}
	for _, n := range v {
		w.buf, _ = pdfobj.AppendNumber(w.buf[:0], n)
		w.out.Write(append(w.buf, ' '))
	}
	w.spill()
}

// pass writes an operator as it came.
func (w *output) pass(op string, args []pdfobj.Object) {
	if w.none {
		return
	}
	w.buf = w.buf[:0]
	for _, a := range args {
		next, err := pdfobj.AppendObject(w.buf, a)
		if err != nil {
			return // no reader could have run it
		}
		w.buf = append(next, ' ')
	}
	w.buf = append(append(w.buf, op...), '\n')
	w.out.Write(w.buf)
	w.spill()
}
