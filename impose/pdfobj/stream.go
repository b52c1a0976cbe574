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
func (x *resolver) stream(dict Dict, ref Ref) (*Stream, error) {
	l := x.file.parser.lexer
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

	s := &Stream{Dict: dict, Ref: ref, src: x.file.src, off: start}
	length, known := x.doc.Int(dict["Length"])
	switch {
	case known && length >= 0 && length <= x.file.size-start && x.file.endsAt(start+length):
		s.n = length
	default:
		end, found, err := x.file.findEnd(start)
		if err != nil {
			return nil, err
		}
		if !found {
			x.damage.lost(ref.Num, "it is cut off by the end of the file")
		}
		s.n = end - start
		if known {
			x.damage.note("stream %d: its length is %d, not %d", ref.Num, s.n, length)
		} else {
			x.damage.note("stream %d: it has no valid length; %d bytes found", ref.Num, s.n)
		}
	}
	if x.doc.security.crypt != nil {
		if err := x.doc.security.crypt.attach(x.doc, s); err != nil {
			return nil, err
		}
	}
	return s, nil
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

func (x *resolver) objectStream(num int) (*objectStream, error) {
	for i, s := range x.streams.recent {
		if s.num == num {
			x.streams.recent = append(append(x.streams.recent[:i:i], x.streams.recent[i+1:]...), s)
			return s, nil
		}
	}
	e := x.table.get(num)
	if e.kind != entryPlain {
		return nil, fmt.Errorf("object %d is no object stream", num)
	}
	o, err := x.load(Ref{num, int(e.gen)})
	if err != nil {
		return nil, err
	}
	stream, ok := o.(*Stream)
	if !ok {
		return nil, fmt.Errorf("object %d is no object stream", num)
	}
	s, err := x.readObjectStream(stream)
	if err != nil {
		return nil, fmt.Errorf("object stream %d: %w", num, err)
	}
	s.num = num
	held := s.size
	for i := len(x.streams.recent) - 1; i >= 0; i-- {
		if held += x.streams.recent[i].size; held > maxHeldStreams {
			x.streams.recent = append([]*objectStream(nil), x.streams.recent[i+1:]...)
			break
		}
	}
	x.streams.recent = append(x.streams.recent, s)
	return s, nil
}

func (x *resolver) readObjectStream(stream *Stream) (*objectStream, error) {
	data, err := x.doc.decoder.all(stream, maxObjectStream)
	if err != nil {
		return nil, err
	}
	count, ok1 := x.doc.Int(stream.Dict["N"])
	first, ok2 := x.doc.Int(stream.Dict["First"])
	if !ok1 || !ok2 || count < 0 || first < 0 || first > int64(len(data)) {
		return nil, errors.New("its N or First is wrong")
	}
	s := &objectStream{extends: stream.Dict["Extends"], size: int64(len(data)) + 4096}
	s.parser = parser{lexer: newBytesLexer(data), maxDepth: x.file.opt.MaxDepth}
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
func (x *resolver) compressed(num int, e entry) (Object, int64, error) {
	container := int(min(e.pos, maxObjectNumber+1))
	for range maxHops {
		s, err := x.objectStream(container)
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
