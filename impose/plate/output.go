package plate

import (
	"bytes"

	"quoin/impose/pdfobj"
)

// output is a content stream that is being written.
type output struct {
	out bytes.Buffer
	buf []byte // for one operator
}

func (w *output) write(s string) { w.out.WriteString(s) }

func (w *output) numbers(v []float64) {
	for _, n := range v {
		w.buf, _ = pdfobj.AppendNumber(w.buf[:0], n)
		w.out.Write(append(w.buf, ' '))
	}
}

// pass writes an operator as it came.
func (w *output) pass(op string, args []pdfobj.Object) {
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
}
