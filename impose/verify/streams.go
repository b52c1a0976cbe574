package verify

import (
	"bytes"
	"io"

	"quoin/impose/pdfobj"
)

// streams compares dictionaries and stored bytes.
func (c *comparison) streams(p pair, src, out *pdfobj.Stream, depth int) {
	if c.wraps(p, src, out, depth) {
		return
	}
	without := func(d pdfobj.Dict) pdfobj.Dict {
		d = d.Clone()
		delete(d, "Length") // RawLength knows better
		return d
	}
	c.dicts(p, without(src.Dict), without(out.Dict), depth)
	c.bytes(p.path, src, out)
}

// bytes compares the stored bytes of two streams.
func (c *comparison) bytes(at *step, src, out *pdfobj.Stream) {
	a, err := src.Raw()
	if err == nil {
		var b io.Reader
		if b, err = out.Raw(); err == nil {
			c.readers(at, a, b)
			return
		}
	}
	c.differs(at, StreamBytes, "can't be read: %v", err)
}

// readers compares two runs of bytes.
func (c *comparison) readers(at *step, a, b io.Reader) {
	n, same, err := equal(a, b)
	c.result.Streams++
	c.result.Bytes += n
	switch {
	case err != nil:
		c.differs(at, StreamBytes, "can't be read: %v", err)
	case !same:
		c.differs(at, StreamBytes, "its data differs from the artwork's, from byte %d on", n)
	}
}

// equal reports whether two readers give the same bytes, and how many they have
// in common.
func equal(a, b io.Reader) (n int64, same bool, err error) {
	x, y := make([]byte, 64<<10), make([]byte, 64<<10)
	for {
		i, errA := io.ReadFull(a, x)
		j, errB := io.ReadFull(b, y)
		if !bytes.Equal(x[:i], y[:j]) {
			k := 0
			for k < min(i, j) && x[k] == y[k] {
				k++
			}
			return n + int64(k), false, nil
		}
		n += int64(i)
		endA, endB := ended(errA), ended(errB)
		switch {
		case endA && endB:
			return n, true, nil
		case errA != nil && !endA:
			return n, false, errA
		case errB != nil && !endB:
			return n, false, errB
		}
	}
}

func ended(err error) bool { return err == io.EOF || err == io.ErrUnexpectedEOF }
