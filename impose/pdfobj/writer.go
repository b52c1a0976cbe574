package pdfobj

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"strconv"
)

// WriterOptions say how a file is written.
type WriterOptions struct {
	// Version is the PDF version in the header: "1.5" to "1.7" or "2.0".
	// Default: "1.6", the version of PDF/X-4.
	Version string
	// Level is the deflate level of the streams that the writer compresses,
	// 1 to 9. Default: that of compress/zlib.
	Level int
}

// Writer writes a PDF file as a stream: objects go into object streams
// (7.5.7), and what has been written is forgotten but for its place. The same
// calls give the same bytes. After an error nothing more is written and every
// further call returns that error.
type Writer struct {
	out     io.Writer
	buf     []byte // not yet written to out
	offset  int64
	id      hash.Hash    // over all bytes, streams by their sums
	zlib    *zlib.Writer // takes a megabyte, so there is one for all streams
	places  []place      // by object number
	packed  []byte       // the object stream being filled
	heads   []byte       // its numbers and offsets
	members []int
	copyBuf []byte
	err     error
}

// place is where an object was written.
type place struct {
	pos   int64  // offset in the file, or number of the object stream
	index uint16 // index in the object stream
	kind  entryKind
}

const (
	maxPacked      = 64 << 10 // bytes of objects in one object stream
	maxMembers     = 200      // objects in one object stream
	writeBuffer    = 64 << 10
	copyBufferSize = 256 << 10
	// spoolLimit is how much of a stream of unknown length is kept in memory
	// so that its length can stand before it.
	spoolLimit = 1 << 20
)

// NewWriter begins a file on w.
func NewWriter(w io.Writer, opt WriterOptions) (*Writer, error) {
	switch opt.Version {
	case "":
		opt.Version = "1.6"
	case "1.5", "1.6", "1.7", "2.0":
	default:
		return nil, fmt.Errorf("cannot write PDF version %q: object streams need 1.5 to 1.7 or 2.0", opt.Version)
	}
	if opt.Level == 0 {
		opt.Level = zlib.DefaultCompression
	}
	z, err := zlib.NewWriterLevel(io.Discard, opt.Level)
	if err != nil {
		return nil, fmt.Errorf("deflate level %d: %w", opt.Level, err)
	}
	x := &Writer{out: w, id: sha256.New(), zlib: z, places: make([]place, 1)}
	// Bytes past 127 tell programs that move files to leave the bytes alone.
	x.write([]byte("%PDF-" + opt.Version + "\n%\xE2\xE3\xCF\xD3\n"))
	return x, x.err
}

// Alloc reserves a reference. Every reserved object must be written.
func (x *Writer) Alloc() Ref {
	x.places = append(x.places, place{})
	return Ref{Num: len(x.places) - 1}
}

// Digest returns a digest of all that has been written so far: the same content
// gives the same. Objects that still wait for their object stream don't count.
func (x *Writer) Digest() [sha256.Size]byte { return [sha256.Size]byte(x.id.Sum(nil)) }

// write appends b to the file and to the identifier.
func (x *Writer) write(b []byte) {
	x.id.Write(b)
	x.writeOnly(b)
}

// writeOnly appends b to the file.
func (x *Writer) writeOnly(b []byte) {
	if x.err != nil {
		return
	}
	x.offset += int64(len(b))
	if len(x.buf)+len(b) > writeBuffer {
		x.flush()
		if len(b) >= writeBuffer {
			x.writeOut(b)
			return
		}
	}
	x.buf = append(x.buf, b...)
}

func (x *Writer) flush() {
	if len(x.buf) > 0 {
		x.writeOut(x.buf)
		x.buf = x.buf[:0]
	}
}

func (x *Writer) writeOut(b []byte) {
	if x.err != nil {
		return
	}
	n, err := x.out.Write(b)
	if err == nil && n < len(b) {
		err = io.ErrShortWrite
	}
	x.err = err
}

// claim checks that ref may be written now.
func (x *Writer) claim(ref Ref) error {
	if x.err != nil {
		return x.err
	}
	switch {
	case ref.Num <= 0 || ref.Num >= len(x.places) || ref.Gen != 0:
		x.err = fmt.Errorf("object %d %d was not reserved", ref.Num, ref.Gen)
	case x.places[ref.Num].kind != entryUnknown:
		x.err = fmt.Errorf("object %d was written before", ref.Num)
	}
	return x.err
}

// Put writes an object. A *Stream is written as it is stored, with a dictionary
// whose references must already be those of this file.
func (x *Writer) Put(ref Ref, o Object) error {
	if s, ok := o.(*Stream); ok {
		raw, err := s.Raw()
		if err != nil {
			return err
		}
		return x.PutStream(ref, s.Dict, raw, s.RawLength(), false)
	}
	if err := x.claim(ref); err != nil {
		return err
	}
	at := len(x.packed)
	packed, err := AppendObject(x.packed, o)
	if err != nil {
		x.err = fmt.Errorf("object %d: %w", ref.Num, err)
		return x.err
	}
	x.packed = append(packed, '\n')
	x.heads = strconv.AppendInt(x.heads, int64(ref.Num), 10)
	x.heads = append(x.heads, ' ')
	x.heads = strconv.AppendInt(x.heads, int64(at), 10)
	x.heads = append(x.heads, ' ')
	x.members = append(x.members, ref.Num)
	x.places[ref.Num].kind = entryCompressed
	if len(x.packed) >= maxPacked || len(x.members) >= maxMembers {
		return x.pack()
	}
	return nil
}

// pack writes the object stream that has been filled.
func (x *Writer) pack() error {
	if len(x.members) == 0 {
		return x.err
	}
	ref := x.Alloc()
	for i, num := range x.members {
		x.places[num] = place{pos: int64(ref.Num), index: uint16(i), kind: entryCompressed}
	}
	dict := Dict{
		"Type":  Name("ObjStm"),
		"N":     Integer(len(x.members)),
		"First": Integer(len(x.heads)),
	}
	data := append(x.heads, x.packed...)
	err := x.PutStream(ref, dict, bytes.NewReader(data), int64(len(data)), true)
	x.packed, x.heads, x.members = x.packed[:0], x.heads[:0], x.members[:0]
	return err
}

// Close writes what is left, the cross-reference stream (7.5.8) and the
// trailer. info may be zero. It fails if a reserved object was not written.
// It does not close the underlying writer.
func (x *Writer) Close(catalog, info Ref) error {
	if x.err != nil {
		return x.err
	}
	if err := x.pack(); err != nil {
		return err
	}
	for num, p := range x.places[1:] {
		if p.kind == entryUnknown {
			x.err = fmt.Errorf("object %d was reserved and never written", num+1)
			return x.err
		}
	}
	if catalog.Num <= 0 || catalog.Num >= len(x.places) {
		x.err = errors.New("the file has no catalog")
		return x.err
	}
	ref := x.Alloc()
	start := x.offset
	x.places[ref.Num] = place{pos: start, kind: entryPlain}
	id := String(x.id.Sum(nil)[:16])
	lines, width := x.lines()
	dict := Dict{
		"Type":        Name("XRef"),
		"Size":        Integer(len(x.places)),
		"W":           Array{Integer(1), Integer(width), Integer(2)},
		"Root":        catalog,
		"ID":          Array{id, id},
		"DecodeParms": Dict{"Predictor": Integer(12), "Columns": Integer(width + 3)},
		"Filter":      Name("FlateDecode"),
	}
	if !info.IsZero() {
		dict["Info"] = info
	}
	var packed bytes.Buffer
	z := x.deflate(&packed) // into memory, so it cannot fail
	z.Write(lines)
	z.Close()
	x.places[ref.Num] = place{}
	if err := x.PutStream(ref, dict, &packed, int64(packed.Len()), false); err != nil {
		return err
	}
	x.write(fmt.Appendf(nil, "startxref\n%d\n%%%%EOF\n", start))
	x.flush()
	if x.err == nil {
		x.err = errClosed
		return nil
	}
	return x.err
}

var errClosed = errors.New("the PDF file is closed")

// lines returns the cross-reference table with a PNG Up predictor, and the
// width of its second field.
func (x *Writer) lines() ([]byte, int) {
	width := 1
	for limit := max(x.offset, int64(len(x.places))); limit >= 1<<(8*width); {
		width++
	}
	row := width + 3
	prior := make([]byte, row)
	line := make([]byte, row)
	out := make([]byte, 0, len(x.places)*(row+1))
	for num, p := range x.places {
		kind, pos, last := byte(1), p.pos, uint16(0)
		switch {
		case num == 0:
			kind, last = 0, maxGeneration
		case p.kind == entryCompressed:
			kind, last = 2, p.index
		}
		line[0] = kind
		for i := range width {
			line[1+i] = byte(pos >> (8 * (width - 1 - i)))
		}
		line[row-2], line[row-1] = byte(last>>8), byte(last)
		out = append(out, 2)
		for i := range line {
			out = append(out, line[i]-prior[i])
		}
		line, prior = prior, line
	}
	return out, width
}
