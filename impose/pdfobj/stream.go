package pdfobj

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

// Stream is a dictionary and a run of bytes (7.3.8), which stay where they
// are until somebody reads them.
type Stream struct {
	// Dict is the stream's dictionary. Its Length may be wrong or indirect:
	// use RawLength.
	Dict Dict
	// Ref is the stream's own reference, zero for a stream made by NewStream.
	Ref Ref

	src    io.ReaderAt
	off, n int64
	cipher *streamCipher // nil if the bytes are stored in the clear
}

// NewStream makes a stream of bytes in memory, encoded as dict says.
func NewStream(dict Dict, raw []byte) *Stream {
	return &Stream{Dict: dict, src: bytes.NewReader(raw), n: int64(len(raw))}
}

// RawLength returns how many bytes Raw yields.
func (s *Stream) RawLength() int64 {
	if s.cipher != nil {
		return s.cipher.plainLength(s)
	}
	return s.n
}

// Raw returns the bytes as stored, with encryption undone and every filter
// still applied.
func (s *Stream) Raw() (io.Reader, error) {
	stored := io.NewSectionReader(s.src, s.off, s.n)
	if s.cipher != nil {
		return s.cipher.reader(stored)
	}
	return stored, nil
}

// stream completes a stream whose dictionary and keyword have been read.
func (d *Document) stream(dict Dict, ref Ref) (*Stream, error) {
	l := d.parser.lexer
	for { // blanks before the line end belong to nothing
		b, ok := l.peek()
		if !ok || b != ' ' && b != '\t' {
			break
		}
		l.pos++
	}
	l.skipByte('\r')
	l.skipByte('\n')
	start := l.offset()

	s := &Stream{Dict: dict, Ref: ref, src: d.src, off: start}
	length, known := d.Int(dict["Length"])
	switch {
	case known && length >= 0 && length <= d.size-start && d.endsAt(start+length):
		s.n = length
	default:
		end, found, err := d.findEnd(start)
		if err != nil {
			return nil, err
		}
		if !found {
			d.harm(ref.Num, "it is cut off by the end of the file")
		}
		s.n = end - start
		if known {
			d.note("stream %d: its length is %d, not %d", ref.Num, s.n, length)
		} else {
			d.note("stream %d: it has no valid length; %d bytes found", ref.Num, s.n)
		}
	}
	if d.crypt != nil {
		if err := d.crypt.attach(d, s); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// search accounts for n bytes read in search of the end of something. That
// may come to each byte of the file some times over, no more: a file can hold
// many beginnings and not one end.
func (d *Document) search(n int64) error {
	const factor, free = 16, 64 << 20
	if d.searched += n; d.searched > factor*d.size+free {
		return fmt.Errorf("%w: too many objects without an end", ErrBudget)
	}
	return nil
}

// endsAt says whether the keyword endstream stands at off, after blanks.
func (d *Document) endsAt(off int64) bool {
	l := d.parser.lexer
	l.seek(off)
	for range 64 {
		b, ok := l.peek()
		if !ok || b != ' ' && b != '\t' && b != '\r' && b != '\n' {
			break
		}
		l.pos++
	}
	const word = "endstream"
	return l.ensure(len(word)) && string(l.buf[l.pos:l.pos+len(word)]) == word
}

// findEnd looks for the end of a stream whose length is wrong: the next
// endstream, or endobj if that comes first, less the line end before it. found
// is false where the file ends before the stream.
func (d *Document) findEnd(start int64) (end int64, found bool, err error) {
	buf := make([]byte, 64<<10)
	const overlap = 16
	for off := start; off < d.size; {
		if err := d.expired(); err != nil {
			return 0, false, err
		}
		if err := d.search(int64(len(buf))); err != nil {
			return 0, false, err
		}
		n, err := d.src.ReadAt(buf[:min(int64(len(buf)), d.size-off)], off)
		if err != nil && err != io.EOF {
			return 0, false, err
		}
		if i := firstOf(buf[:n], "endstream", "endobj"); i >= 0 {
			end, err := d.trimLineEnd(start, off+int64(i))
			return end, true, err
		}
		if n <= overlap {
			break
		}
		off += int64(n - overlap)
	}
	return d.size, false, nil
}

func firstOf(data []byte, words ...string) int {
	first := -1
	for _, w := range words {
		if i := bytes.Index(data, []byte(w)); i >= 0 && (first < 0 || i < first) {
			first = i
		}
	}
	return first
}

func (d *Document) trimLineEnd(start, end int64) (int64, error) {
	var tail [2]byte
	n := min(2, end-start)
	if _, err := d.src.ReadAt(tail[2-n:], end-n); err != nil && err != io.EOF {
		return 0, err
	}
	switch {
	case n == 2 && tail == [2]byte{'\r', '\n'}:
		return end - 2, nil
	case n >= 1 && (tail[1] == '\n' || tail[1] == '\r'):
		return end - 1, nil
	}
	return end, nil
}

// objectStreams keeps the most recently used decoded object streams.
type objectStreams struct {
	recent []*objectStream // the last one used last
}

const maxHeldStreams = 8 << 20

// objectStream is a decoded object stream (7.5.7).
type objectStream struct {
	num     int
	extends Object
	nums    []int
	offsets []int64
	parser  parser
	size    int64
}

func (d *Document) objectStream(num int) (*objectStream, error) {
	for i, s := range d.streams.recent {
		if s.num == num {
			d.streams.recent = append(append(d.streams.recent[:i:i], d.streams.recent[i+1:]...), s)
			return s, nil
		}
	}
	e := d.table.get(num)
	if e.kind != entryPlain {
		return nil, fmt.Errorf("object %d is no object stream", num)
	}
	o, err := d.load(Ref{num, int(e.gen)})
	if err != nil {
		return nil, err
	}
	stream, ok := o.(*Stream)
	if !ok {
		return nil, fmt.Errorf("object %d is no object stream", num)
	}
	s, err := d.readObjectStream(stream)
	if err != nil {
		return nil, fmt.Errorf("object stream %d: %w", num, err)
	}
	s.num = num
	held := s.size
	for i := len(d.streams.recent) - 1; i >= 0; i-- {
		if held += d.streams.recent[i].size; held > maxHeldStreams {
			d.streams.recent = append([]*objectStream(nil), d.streams.recent[i+1:]...)
			break
		}
	}
	d.streams.recent = append(d.streams.recent, s)
	return s, nil
}

func (d *Document) readObjectStream(stream *Stream) (*objectStream, error) {
	data, err := d.decodeAll(stream, maxObjectStream)
	if err != nil {
		return nil, err
	}
	count, ok1 := d.Int(stream.Dict["N"])
	first, ok2 := d.Int(stream.Dict["First"])
	if !ok1 || !ok2 || count < 0 || first < 0 || first > int64(len(data)) {
		return nil, errors.New("its N or First is wrong")
	}
	s := &objectStream{extends: stream.Dict["Extends"], size: int64(len(data)) + 4096}
	s.parser = parser{lexer: newBytesLexer(data), maxDepth: d.opt.MaxDepth}
	head := newBytesLexer(data[:first])
	for range count {
		num, err := head.next()
		if err != nil {
			return nil, err
		}
		off, err := head.next()
		if err != nil {
			return nil, err
		}
		if num.kind != tokenInteger || off.kind != tokenInteger {
			break
		}
		s.nums = append(s.nums, int(min(max(num.num, 0), maxObjectNumber+1)))
		s.offsets = append(s.offsets, first+off.num)
	}
	return s, nil
}

// compressed returns an object of an object stream.
func (d *Document) compressed(num int, e entry) (Object, int64, error) {
	container := int(min(e.pos, maxObjectNumber+1))
	for range maxHops {
		s, err := d.objectStream(container)
		if err != nil {
			return nil, 0, err
		}
		if i := s.find(num, int(e.index)); i >= 0 {
			return s.object(i)
		}
		next, ok := s.extends.(Ref)
		if !ok {
			break
		}
		container = next.Num
	}
	return nil, 0, fmt.Errorf("it is not in object stream %d", e.pos)
}

// find returns the index of object num, which should be at index.
func (s *objectStream) find(num, index int) int {
	if index < len(s.nums) && s.nums[index] == num {
		return index
	}
	for i := len(s.nums) - 1; i >= 0; i-- {
		if s.nums[i] == num {
			return i
		}
	}
	return -1
}

func (s *objectStream) object(i int) (Object, int64, error) {
	p := &s.parser
	p.start()
	off := s.offsets[i]
	if off < 0 || off > int64(len(p.buf)) {
		return nil, 0, errors.New("its place in the object stream is wrong")
	}
	p.seek(off)
	o, err := p.object(0)
	if err == errNoObject {
		o, err = nil, nil
	}
	return o, p.offset() - off, err
}
