package pdfobj

import (
	"io"
	"sync"
)

// aheadChunk is how much of a content stream is decoded at a time while what
// came before is being looked at.
const (
	aheadChunk = 128 << 10
	firstChunk = 8 << 10 // most streams are smaller
	mostAhead  = 3       // chunks at hand
)

// ahead reads a stream some chunks ahead of whoever reads it, so that undoing the
// filters and cutting into operations run side by side, and neither waits as long as
// the other is a little slower. Once the chunks are full, reading ends until one has been
// read: a reader that is left in the middle leaves nothing running.
type ahead struct {
	r    io.Reader
	rest []byte
	err  error
	idle func() bool // does a little of something else while a chunk isn't there, if there is anything
	last []byte      // the chunk that rest is of
	next chan chunk  // what has been read; nil before the first

	lock   sync.Mutex
	free   [][]byte
	filled bool // nobody reads: all chunks are full, or the stream has ended
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

// advance takes the chunk that has been read, and gives back the one before. The
// first is read at once: most streams have no second.
func (a *ahead) advance() {
	var got chunk
	switch {
	case a.next == nil:
		got = fill(a.r, make([]byte, firstChunk))
		a.next, a.filled = make(chan chunk, mostAhead), true
		if got.err == nil {
			for range mostAhead {
				a.give(make([]byte, aheadChunk))
			}
		}
	default:
		a.give(a.last)
		for len(a.next) == 0 && a.idle != nil && a.idle() {
		}
		got = <-a.next
		a.last = got.data[:cap(got.data)]
	}
	a.rest, a.err = got.data, got.err
}

// give has a chunk read into buf, after those that are being read.
func (a *ahead) give(buf []byte) {
	if len(buf) == 0 {
		return
	}
	a.lock.Lock()
	defer a.lock.Unlock()
	a.free = append(a.free, buf)
	if a.filled {
		a.filled = false
		go a.fill()
	}
}

// fill reads as long as there is a chunk to read into.
func (a *ahead) fill() {
	for {
		a.lock.Lock()
		if len(a.free) == 0 {
			a.filled = true
			a.lock.Unlock()
			return
		}
		buf := a.free[0]
		a.free = a.free[1:]
		a.lock.Unlock()
		got := fill(a.r, buf)
		a.next <- got
		if got.err != nil {
			return
		}
	}
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
