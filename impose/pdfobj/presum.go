package pdfobj

import (
	"crypto/sha256"
	"io"
	"sync"
)

// streamSum is the SHA-256 of a stream's bytes as Raw yields them.
type streamSum = [sha256.Size]byte

// presumLeast is how long a stream is whose sum is worth a core of its own.
const presumLeast = 1 << 20

// presums are the sums of long streams that somebody asked for before they are copied.
type presums map[Ref]func() (streamSum, error)

// Presum begins to work out the sum of a long stream of d beside whatever else is done
// with it, for who will copy the stream: the [Writer] needs the sum of all that it
// writes, and then doesn't wait for it.
func Presum(d *Document, s *Stream) {
	if s.cipher != nil || s.Ref.IsZero() || s.n < presumLeast || d.presums[s.Ref] != nil {
		return
	}
	if d.presums == nil {
		d.presums = presums{}
	}
	sum := sync.OnceValues(func() (sum streamSum, err error) {
		h := sha256.New()
		_, err = io.Copy(h, io.NewSectionReader(s.src, s.off, s.n))
		return streamSum(h.Sum(nil)), err
	})
	d.presums[s.Ref] = sum
	go sum()
}

// of gives a stream's sum; nil where nobody asked for it.
func (p presums) of(s *Stream) *streamSum {
	presum := p[s.Ref]
	if presum == nil || s.Ref.IsZero() {
		return nil
	}
	sum, err := presum()
	if err != nil {
		return nil
	}
	return &sum
}
