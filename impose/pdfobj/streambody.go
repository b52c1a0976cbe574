package pdfobj

import (
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"strconv"
)

// PutStream writes a stream object from r, which must yield length bytes, or
// any number if length is -1. With compress set the writer deflates them;
// otherwise dict says how they are encoded. Length is set here.
func (x *Writer) PutStream(ref Ref, dict Dict, r io.Reader, length int64, compress bool) error {
	return x.putStream(ref, dict, r, length, compress, nil)
}

// PutCopy writes the bytes of a stream of another document as they are stored, with
// encryption undone, and dict in place of its dictionary, which must say how they are
// encoded.
func (x *Writer) PutCopy(ref Ref, dict Dict, from *Document, s *Stream) error {
	raw, err := s.Raw()
	if err != nil {
		return err
	}
	return x.putStream(ref, dict, raw, s.RawLength(), false, from.presums.of(s))
}

// putStream writes a stream whose SHA-256, as it is stored, may be known.
func (x *Writer) putStream(ref Ref, dict Dict, r io.Reader, length int64, compress bool, known *streamSum) error {
	if err := x.claim(ref); err != nil {
		return err
	}
	dict = dict.Clone()
	delete(dict, "Length")
	if compress {
		if dict["Filter"] != nil || dict["DecodeParms"] != nil {
			x.err = fmt.Errorf("object %d: a stream to be compressed has a filter already", ref.Num)
			return x.err
		}
		dict["Filter"] = Name("FlateDecode")
	}
	body := &streamBody{x: x, ref: ref, dict: dict, known: known, sum: sha256.New()}
	if length >= 0 && !compress {
		dict["Length"] = Integer(length)
		body.begin()
	}
	n, err := x.pump(body, r, compress)
	if err == nil && length >= 0 && n != length {
		err = fmt.Errorf("%d bytes of a stream were announced, %d came", length, n)
	}
	if err == nil {
		err = body.end()
	}
	if err != nil && x.err == nil {
		x.err = fmt.Errorf("object %d: %w", ref.Num, err)
	}
	return x.err
}

// pump copies r to body and returns how many bytes r yielded.
func (x *Writer) pump(body *streamBody, r io.Reader, compress bool) (n int64, err error) {
	if x.copyBuf == nil {
		x.copyBuf = make([]byte, copyBufferSize)
	}
	var w io.Writer = body
	if compress {
		z := x.deflate(body)
		defer func() {
			if err == nil {
				err = z.Close()
			}
		}()
		w = z
	}
	for {
		got, rerr := r.Read(x.copyBuf)
		n += int64(got)
		if _, err := w.Write(x.copyBuf[:got]); err != nil {
			return n, err
		}
		if rerr == io.EOF {
			return n, nil
		}
		if rerr != nil {
			return n, rerr
		}
	}
}

func (x *Writer) deflate(w io.Writer) *zlib.Writer {
	x.zlib.Reset(w)
	return x.zlib
}

// streamBody receives the stored bytes of one stream. Until it knows the
// length or has seen too much to keep, it holds them back.
type streamBody struct {
	x      *Writer
	ref    Ref
	dict   Dict
	known  *streamSum // nil where the sum is to be worked out
	sum    hash.Hash
	spool  []byte
	begun  bool
	n      int64
	length Ref // of an indirect Length
}

func (b *streamBody) begin() {
	b.begun = true
	b.x.beginObject(b.ref)
	text, err := AppendObject(nil, b.dict)
	if err != nil {
		if b.x.err == nil {
			b.x.err = fmt.Errorf("object %d: %w", b.ref.Num, err)
		}
		return
	}
	b.x.write(append(text, "\nstream\n"...))
	b.x.writeOnly(b.spool)
	b.spool = nil
}

func (x *Writer) beginObject(ref Ref) {
	x.places[ref.Num] = place{pos: x.offset, kind: entryPlain}
	x.write(append(strconv.AppendInt(nil, int64(ref.Num), 10), " 0 obj\n"...))
}

func (b *streamBody) Write(p []byte) (int, error) {
	b.n += int64(len(p))
	if b.known == nil {
		b.sum.Write(p)
	}
	if b.begun {
		b.x.writeOnly(p)
		return len(p), b.x.err
	}
	b.spool = append(b.spool, p...)
	if len(b.spool) > spoolLimit {
		b.length = b.x.Alloc()
		b.dict["Length"] = b.length
		b.begin()
	}
	return len(p), b.x.err
}

func (b *streamBody) end() error {
	if !b.begun {
		b.dict["Length"] = Integer(b.n)
		b.begin()
	}
	if b.known != nil {
		b.x.id.Write(b.known[:])
	} else {
		b.x.id.Write(b.sum.Sum(nil))
	}
	b.x.write([]byte("\nendstream\nendobj\n"))
	if !b.length.IsZero() {
		b.x.beginObject(b.length)
		b.x.write(append(strconv.AppendInt(nil, b.n, 10), "\nendobj\n"...))
	}
	return b.x.err
}
