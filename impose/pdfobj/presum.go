package pdfobj

import (
	"crypto/sha256"
	"hash"
	"io"
	"sync"
)

// streamSum is the SHA-256 of a stream's bytes as Raw yields them.
type streamSum = [sha256.Size]byte

// presumLeast is how long a stream is whose sum is worth being worked out beside
// whatever else is done with it.
const presumLeast = 1 << 20

// Summing works out the SHA-256 of bytes by the piece, for whoever has nothing else to do.
type Summing struct {
	lock  sync.Mutex
	r     io.Reader
	hash  hash.Hash
	piece []byte
	sum   streamSum
	err   error // io.EOF once the sum is known
}

// NewSumming returns the summing of all that r yields, which nobody else reads.
func NewSumming(r io.Reader) *Summing { return &Summing{r: r, hash: sha256.New()} }

// step takes a piece and reports whether there is more to be done.
func (s *Summing) step() bool {
	s.lock.Lock()
	defer s.lock.Unlock()
	if s.err != nil {
		return false
	}
	if s.piece == nil {
		s.piece = make([]byte, 64<<10)
	}
	var n int
	n, s.err = s.r.Read(s.piece)
	s.hash.Write(s.piece[:n])
	if s.err != nil {
		s.sum, s.piece = streamSum(s.hash.Sum(nil)), nil
	}
	return s.err == nil
}

// Sum does what is still to be done and returns the sum, or the reader's error.
func (s *Summing) Sum() (streamSum, error) {
	for s.step() {
	}
	if s.err != io.EOF {
		return streamSum{}, s.err
	}
	return s.sum, nil
}

// chores are sums that are wanted soon. Where a long stream is read whose filters take
// longer to undo than what comes of it to be looked through, that is when they are
// worked out: beside both they would only take the time of the slower one.
type chores []*Summing

// do takes a step of what is still to be done, if there is any.
func (c *chores) do() bool {
	for len(*c) > 0 {
		if (*c)[0].step() {
			return true
		}
		*c = (*c)[1:]
	}
	return false
}

// hand has what is left done beside whatever comes next.
func (c *chores) hand() {
	for _, s := range *c {
		go s.Sum()
	}
	*c = nil
}

// heavy reports whether a stream takes long to be undone.
func heavy(s *Stream) bool { return s.n >= presumLeast && s.Dict["Filter"] != nil }

// Meanwhile has a sum worked out while content of d is read, or beside that.
func Meanwhile(d *Document, s *Summing) { d.chores = append(d.chores, s) }

// presums are the sums of long streams that somebody asked for before they are copied.
type presums map[Ref]*Summing

// Presum has the sum of a long stream of d worked out before it is needed, for who will
// copy the stream: the [Writer] needs the sum of all that it writes, and then doesn't
// wait for it.
func Presum(d *Document, s *Stream) {
	if s.cipher != nil || s.Ref.IsZero() || s.n < presumLeast || d.presums[s.Ref] != nil {
		return
	}
	if d.presums == nil {
		d.presums = presums{}
	}
	sum := NewSumming(io.NewSectionReader(s.src, s.off, s.n))
	d.presums[s.Ref] = sum
	Meanwhile(d, sum)
}

// of returns a stream's sum; nil where nobody asked for it.
func (p presums) of(s *Stream) *streamSum {
	presum := p[s.Ref]
	if presum == nil || s.Ref.IsZero() {
		return nil
	}
	sum, err := presum.Sum()
	if err != nil {
		return nil
	}
	return &sum
}
