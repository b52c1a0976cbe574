package press

import (
	"quoin/impose/draw"
	"quoin/impose/pdfobj"
)

// mirrored puts before a page's content what mirrors all of it across, marks
// and text too: printed on the back of a clear film, it reads right through it.
func (w *Writer) mirrored(width float64, contents pdfobj.Object) (pdfobj.Object, error) {
	if w.mirror.IsZero() {
		c := &ops{}
		m := draw.Mirror(width)
		c.op("cm", m[:]...)
		var err error
		if w.mirror, err = putStream(w.out, pdfobj.Dict{}, c.buf, false); err != nil {
			return nil, err
		}
	}
	list, ok := contents.(pdfobj.Array)
	if !ok {
		list = pdfobj.Array{contents}
	}
	return append(pdfobj.Array{w.mirror}, list...), nil
}
