package pdfobj

import "io"

// aheadChunk is how much of a content stream is decoded at a time while what
// came before is being looked at.
const (
	aheadChunk = 128 << 10
	firstChunk = 8 << 10 // most streams are smaller
)

// ahead reads a stream one chunk ahead of whoever reads it, so that undoing the
// filters and cutting into operations run side by side. It is begun with each
// chunk anew: a reader that is left in the middle leaves nothing running.
type ahead struct {
	r     io.Reader
	rest  []byte
	err   error
	spare []byte
	next  chan chunk // nil: nothing is being read
}

// chunk is what was read, and what ended it.
type chunk struct {
	data []byte
	err  error
}

func (a *ahead) Read(p []byte) (int, error) {
	for len(a.rest) == 0 {
		if a.err != nil {
			return 0, a.err
		}
		a.advance()
	}
	n := copy(p, a.rest)
	a.rest = a.rest[n:]
	return n, nil
}

// advance takes the chunk that has been read and begins the one after it. The
// first is read at once: most streams have no second.
func (a *ahead) advance() {
	var got chunk
	if a.next == nil {
		got = fill(a.r, make([]byte, firstChunk))
	} else {
		got = <-a.next
	}
	a.rest, a.err = got.data, got.err
	if a.err != nil {
		return
	}
	buf := a.spare[:cap(a.spare)]
	if len(buf) < aheadChunk {
		buf = make([]byte, aheadChunk)
	}
	a.spare = got.data // free again by the time that the next chunk is taken
	a.next = make(chan chunk, 1)
	go func(r io.Reader, next chan<- chunk) { next <- fill(r, buf) }(a.r, a.next)
}

// fill reads until buf is full or the stream ends.
func fill(r io.Reader, buf []byte) chunk {
	n := 0
	for n < len(buf) {
		got, err := r.Read(buf[n:])
		n += got
		if err != nil {
			return chunk{buf[:n], err}
		}
	}
	return chunk{buf[:n], nil}
}
